/** The operations that effect rows of events.json name, compiled once per row (F5.3 to F5.7, F6). */
import { type Event, eventId } from "../events/envelope.ts";
import { type Collection, type Row, type StageId, stages } from "../tables.ts";
import type { Changes } from "./changes.ts";
import type { Stamp } from "./records.gen.ts";
import { rules } from "./require.ts";
import type { AnyRecord } from "./state.ts";

export type Effect = (changes: Changes, event: Event) => void;
type Act = (changes: Changes, record: AnyRecord, event: Event) => void;
type Value = (event: Event) => unknown;

/** One row as a function. Throws for an operation that F5.6 does not list. */
export function compileEffect(row: Row): Effect {
  const key = readerOf((row.key as string | undefined) ?? "@job");
  if (row.op === "away") return away(key);
  const collection = row.on as Collection;
  const act = operation(row);
  const conditions = ((row.when ?? []) as readonly Row[]).map(condition);
  return (changes, event) => {
    const name = key(event);
    if (typeof name !== "string" || (conditions.length > 0 && !conditions.some((c) => c(event)))) return;
    if (changes.isAway(collection, name)) comeLate(changes, name, event);
    else act(changes, changes.record(collection, name), event);
  };
}

/** F5.11. */
function away(key: Value): Effect {
  return (changes, event) => {
    const named = key(event) as string | readonly string[];
    for (const code of typeof named === "string" ? [named] : named) changes.putAway(code);
  };
}

/** F5.12: the archive's record is the server's to change. */
function comeLate(changes: Changes, code: string, event: Event): void {
  const { late } = changes.record("chain", event.incarnation) as { readonly late: AnyRecord };
  const id = eventId(event);
  if (!Object.hasOwn(late, id)) late[id] = { code, ...stamp(event) };
}

function operation(row: Row): Act {
  switch (row.op) {
    case "set":
      return set(row);
    case "stamp":
      return (_, record, event) => {
        record[row.to as string] = stamped(row, event);
      };
    case "list":
      return (_, record, event) => {
        const list = record[row.to as string] as unknown[];
        list.push(stamped(row, event));
        if (row.most !== undefined && list.length > (row.most as number)) list.shift();
      };
    case "recall":
      return recall(row);
    case "map":
      return (_, record, event) => {
        (record[row.to as string] as AnyRecord)[joined(row, event)] = stamped(row, event);
      };
    case "drop":
      return (_, record, event) => {
        delete (record[row.to as string] as AnyRecord)[joined(row, event)];
      };
    case "count":
      return (_, record, event) => count(row, record, event);
    case "stage":
      return (_, record, event) => {
        go(record, row.to as StageId, event);
      };
    case "stop":
      return (_, record, event) => {
        if (row.unless !== undefined && record[row.unless as string] !== null) return;
        if (!go(record, "stopped", event)) return;
        const reason = row.reason === "@reason" ? event.body.reason : row.reason;
        record.stop = { reason, ...stamp(event) };
      };
    case "lift":
      return (_, record, event) => {
        if (record.stop === null || (record.stage !== "stopped" && record.stage !== "ready"))
          return finding(record, "stage-not-allowed", event);
        record.stage = "bench";
        record.stop = null;
      };
    case "move":
      return (_, record, event) => move(record, event);
    case "require":
      return require_(row);
    default:
      throw new Error(String(row.op));
  }
}

function set(row: Row): Act {
  const values = Object.entries(row.values as Record<string, string>).map(([n, s]) => [n, readerOf(s)] as const);
  return (_, record, event) => {
    for (const [name, value] of values) record[name] = value(event);
  };
}

function recall(row: Row): Act {
  const nameOf = readerOf(row.of as string);
  return (changes, record, event) => {
    const name = nameOf(event);
    if (typeof name !== "string") return;
    const list = changes.look(row.from as Collection, name)?.[row.list as string] as readonly Stamp[] | undefined;
    let last: Stamp | undefined;
    for (const one of list ?? [])
      if (one.at_ms <= event.at_ms && (last === undefined || one.at_ms >= last.at_ms)) last = one;
    if (last !== undefined) (record[row.to as string] as AnyRecord)[last.event] = { ...last, of: name };
  };
}

function count(row: Row, record: AnyRecord, event: Event): void {
  const all = record[row.to as string] as Record<string, Record<string, number>>;
  const key = joined(row, event);
  if (!Object.hasOwn(all, key)) all[key] = {};
  const counters = all[key] as Record<string, number>;
  for (const [name, by] of Object.entries(row.add as Record<string, string | number>)) {
    counters[name] = (counters[name] ?? 0) + (typeof by === "number" ? by : (event.body[by] as number));
  }
}

/** F6.2. */
function move(record: AnyRecord, event: Event): void {
  const after = event.body.after as readonly string[];
  const heads: AnyRecord = {};
  for (const [id, head] of Object.entries(record.heads as AnyRecord)) if (!after.includes(id)) heads[id] = head;
  heads[eventId(event)] = {
    to: event.body.to,
    staff: event.staff,
    at_ms: event.at_ms,
    why: event.body.why ?? null,
  };
  record.heads = heads;
}

function require_(row: Row): Act {
  const rule = rules[row.rule as string];
  if (rule === undefined) throw new Error(String(row.rule));
  return (changes, record, event) => {
    if (!rule.holds(changes, record, event)) finding(record, rule.slug, event);
  };
}

function go(record: AnyRecord, to: StageId, event: Event): boolean {
  const goesRoundStop = to === "bench" && record.stop !== null;
  if (stages[record.stage as StageId].next.includes(to) && !goesRoundStop) {
    record.stage = to;
    return true;
  }
  finding(record, "stage-not-allowed", event);
  return false;
}

function finding(record: AnyRecord, slug: string, event: Event): void {
  (record.findings as unknown[]).push({ slug, event: eventId(event) });
}

const stamp = (event: Event) => ({ event: eventId(event), staff: event.staff, at_ms: event.at_ms });

function stamped(row: Row, event: Event): AnyRecord {
  const values: AnyRecord = {};
  for (const [name, source] of Object.entries(row.values as Record<string, string>))
    values[name] = readerOf(source)(event);
  return { ...values, ...stamp(event) };
}

function joined(row: Row, event: Event): string {
  return (row.at as readonly string[]).map((name) => event.body[name]).join("/");
}

/** F5.4. */
function readerOf(source: string): Value {
  switch (source) {
    case "@job":
      return (e) => e.job;
    case "@staff":
      return (e) => e.staff;
    case "@station":
      return (e) => e.station;
    case "@at":
      return (e) => e.at_ms;
    case "@event":
      return eventId;
    case "=true":
      return () => true;
    case "=null":
      return () => null;
    default:
      return source.startsWith("=") ? () => source.slice(1) : (e) => e.body[source] ?? null;
  }
}

/** F5.5. */
function condition(row: Row): (event: Event) => boolean {
  const field = row.field as string;
  if (row.in !== undefined) return (e) => (row.in as readonly unknown[]).includes(e.body[field]);
  if (row.kind !== undefined) return (e) => (e.body[field] as string).startsWith(row.kind as string);
  return (e) => {
    const value = e.body[field] ?? null;
    return value !== null && !(Array.isArray(value) && value.length === 0);
  };
}
