/** Single requests to the server. Answers are values; a failing network is a value too, never an exception. */
import syncFormat from "@shared/sync_format.json";
import { isSlug, ok, type Problem, type Result, refuse } from "../problem.ts";
import type { Slug } from "../tables.ts";

export type Refusal = Problem & { readonly retryAfterS?: number; readonly extra?: Readonly<Record<string, unknown>> };
export type Answer<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: Refusal | "offline" };

/** Why sending or fetching ended early. */
export type Halt = Refusal | "offline";

const BLOCKING: ReadonlySet<Slug> = new Set([
  "station-unknown",
  "station-revoked",
  "rate-limited",
  "busy",
  "app-too-old",
  "server-too-old",
]);

/** Whether it is no use trying anything else now; other refusals concern only what was sent. */
export const isBlocking = (halt: Halt): boolean => halt === "offline" || BLOCKING.has(halt.slug);

const TIME_LIMIT_MS = 30_000;

/** Each program tells the other which format it talks in (F8.10). */
const FORMAT = "Traymark-Format";

type Fields = Readonly<Record<string, string>>;

/** Ask the server. A plain object or an array is sent as JSON; the answer is read as JSON. */
export async function ask<T>(
  method: string,
  path: string,
  body?: BodyInit | object,
  headers?: Fields,
): Promise<Answer<T>> {
  const answer = await fetchAnswer(method, path, body, headers);
  if (!answer.ok) return answer;
  return { ok: true, value: (await answer.value.json().catch(() => null)) as T };
}

/** Ask the server for bytes, such as a label. */
export async function askBlob(method: string, path: string, body?: object): Promise<Answer<Blob>> {
  const answer = await fetchAnswer(method, path, body);
  return answer.ok ? { ok: true, value: await answer.value.blob() } : answer;
}

/** Ask the server for text, such as pulled lines. */
export async function askText(method: string, path: string, withinMs = TIME_LIMIT_MS): Promise<Answer<string>> {
  const answer = await fetchAnswer(method, path, undefined, undefined, withinMs);
  if (!answer.ok) return answer;
  try {
    return { ok: true, value: await answer.value.text() };
  } catch {
    return { ok: false, problem: "offline" };
  }
}

/** An answer as a result for a screen; without a network it is the named problem. */
export function asResult<T>(answer: Answer<T>, offline: Problem): Result<T> {
  if (answer.ok) return ok(answer.value);
  return answer.problem === "offline" ? refuse(offline.slug, offline.detail) : { ok: false, problem: answer.problem };
}

async function fetchAnswer(
  method: string,
  path: string,
  body?: BodyInit | object,
  headers?: Fields,
  withinMs = TIME_LIMIT_MS,
): Promise<Answer<Response>> {
  const isPlain = body !== undefined && (Object.getPrototypeOf(body) === Object.prototype || Array.isArray(body));
  const request: RequestInit = {
    method,
    credentials: "same-origin",
    cache: "no-store",
    signal: AbortSignal.timeout(withinMs),
  };
  if (body !== undefined) request.body = isPlain ? JSON.stringify(body) : (body as BodyInit);
  const type: Fields = isPlain ? { "Content-Type": "application/json" } : {};
  request.headers = { [FORMAT]: `${syncFormat.format}`, ...type, ...headers };
  let response: Response;
  try {
    response = await fetch(path, request);
  } catch {
    return { ok: false, problem: "offline" };
  }
  if (isTooOld(response)) return { ok: false, problem: { slug: "server-too-old" } };
  if (response.ok) return { ok: true, value: response };
  return { ok: false, problem: await readProblem(response) };
}

/** Whether the server's format is not understood here any more. What answers in its place names none. */
const isTooOld = (response: Response): boolean =>
  Number(response.headers.get(FORMAT) || Number.POSITIVE_INFINITY) < syncFormat.oldest;

async function readProblem(response: Response): Promise<Refusal | "offline"> {
  const told = (await response.json().catch(() => null)) as Record<string, unknown> | null;
  const slug = typeof told?.type === "string" ? told.type.replace(/^.*[:/]/, "") : "";
  if (!isSlug(slug)) return strangers(response.status);
  const detail = typeof told?.detail === "string" ? { detail: told.detail } : {};
  const wait = Number(response.headers.get("Retry-After"));
  const retry = wait > 0 ? { retryAfterS: wait } : {};
  return { slug, ...detail, ...retry, extra: told ?? {} };
}

/** A refusal from a proxy or a captive portal, not from our server. */
function strangers(status: number): Refusal | "offline" {
  if (status === 413) return { slug: "body-too-large" };
  return status >= 502 ? "offline" : { slug: "internal" };
}
