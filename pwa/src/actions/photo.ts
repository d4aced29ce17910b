/** Taking a photo for a job: re-encoded, kept, and on the job's record; and marks beside it, which leave it as it is. */
import { keepPhoto, type TakenPhoto } from "../device/photo.ts";
import { newMarkName } from "../device/random.ts";
import type { Bodies } from "../events/kinds.gen.ts";
import type { NewEvent } from "../log/append.ts";
import { ok, type Result } from "../problem.ts";
import { act } from "./act.ts";
import { onePress } from "./onePress.ts";

export type PhotoUse = Bodies["photo.taken"]["use"];

/** Keep a photo and record it. The hash is durable on this station on return. */
export async function takePhoto(job: string, use: PhotoUse, picture: Blob): Promise<Result<string>> {
  const kept = await keepPhoto(job, picture);
  if (!kept.ok) return kept;
  const written = await act(() => [photoTaken(job, use, kept.value)]);
  return written.ok ? ok(kept.value.sha256) : written;
}

/** The event for a photo that is already kept. */
export function photoTaken(job: string, use: PhotoUse, photo: TakenPhoto): NewEvent {
  const { sha256, bytes, width, height } = photo;
  return { kind: "photo.taken", job, body: { photo: sha256, use, bytes, width, height } };
}

export type Drawn = Omit<Bodies["photo.marked"], "photo" | "mark">;

/** Record a mark on a photo. Its name is random: two stations may mark the same photo without each other. */
export const markPhoto = onePress(async (job: string, photo: string, drawn: Drawn): Promise<Result<string>> => {
  const mark = newMarkName();
  const written = await act(() => [{ kind: "photo.marked", job, body: { photo, mark, ...drawn } }]);
  return written.ok ? ok(mark) : written;
});

/** Take a mark off a photo; the log still says that it was there. */
export async function unmarkPhoto(job: string, photo: string, mark: string): Promise<Result<null>> {
  const written = await act(() => [{ kind: "photo.unmarked", job, body: { photo, mark } }]);
  return written.ok ? ok(null) : written;
}
