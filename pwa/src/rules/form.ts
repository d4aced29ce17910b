/**
 * Checks a document against a schema of shared/schema/; the result is a readable list of where it does not fit.
 * Reads the part of JSON Schema (2020-12) that our own schemas of documents use, and no more. What a schema does not
 * mention is not looked into, however deep it is, nor is a list with too many entries; `uniqueItems` covers texts only.
 */

export type Schema = { readonly [keyword: string]: unknown };

/** Every fault, outer before inner: a JSON Pointer and what is wrong there. Throws for a schema it cannot read. */
export const formFaults = (value: unknown, schema: Schema): readonly string[] => faults(value, schema, schema, "");

function faults(value: unknown, given: Schema, root: Schema, at: string): readonly string[] {
  const rule = resolved(given, root);
  const unread = Object.keys(rule).filter((keyword) => !READ.has(keyword));
  if (unread.length > 0) throw new Error(`not read: ${unread}`);
  const say = (what: string): string => `${at === "" ? "/" : at} ${what}`;
  const type = rule.type as Type | undefined;
  if (type !== undefined && !TYPES[type](value)) return [say(`must be ${WORDS[type]}`)];
  const found: string[] = [];
  const choice = rule.enum as readonly unknown[] | undefined;
  if (choice !== undefined && !choice.includes(value)) found.push(say(`must be one of ${choice.join(", ")}`));
  if ("const" in rule && value !== rule.const) found.push(say("has a value that it may not have"));
  const forms = rule.oneOf as readonly Schema[] | undefined;
  if (forms !== undefined && forms.filter((each) => faults(value, each, root, at).length === 0).length !== 1) {
    found.push(say("has none of the forms it may have"));
  }
  if (typeof value === "string") return [...found, ...ofText(value, rule).map(say)];
  if (typeof value === "number") return [...found, ...ofNumber(value, rule).map(say)];
  if (Array.isArray(value)) return [...found, ...ofList(value, rule, root, at)];
  return isObject(value) ? [...found, ...ofObject(value, rule, root, at)] : found;
}

function resolved(rule: Schema, root: Schema): Schema {
  if (rule.$ref === undefined) return rule;
  const named = (root.$defs as Record<string, Schema>)[String(rule.$ref).replace("#/$defs/", "")];
  if (named === undefined) throw new Error(`no ${String(rule.$ref)}`);
  return named;
}

function ofText(value: string, rule: Schema): readonly string[] {
  const length = pointsIn(value);
  if (length < Number(rule.minLength ?? 0)) return ["must not be empty"];
  if (length > Number(rule.maxLength ?? length)) return [`must have at most ${rule.maxLength} characters`];
  const pattern = rule.pattern as string | undefined;
  if (pattern === undefined || new RegExp(pattern, "u").test(value)) return [];
  return [`must be ${rule.description ?? `like ${pattern}`}`];
}

/** Code points, as JSON Schema counts; a text may be too long for a list of them. */
function pointsIn(value: string): number {
  let count = 0;
  for (const _ of value) count += 1;
  return count;
}

const ofNumber = (value: number, rule: Schema): readonly string[] => [
  ...(value < Number(rule.minimum ?? value) ? [`must be at least ${rule.minimum}`] : []),
  ...(value > Number(rule.maximum ?? value) ? [`must be at most ${rule.maximum}`] : []),
];

function ofList(value: readonly unknown[], rule: Schema, root: Schema, at: string): readonly string[] {
  const say = (what: string): string => `${at === "" ? "/" : at} ${what}`;
  if (value.length > Number(rule.maxItems ?? value.length)) return [say(`must have at most ${rule.maxItems} entries`)];
  const texts = value.filter((entry) => typeof entry === "string");
  return [
    ...(value.length < Number(rule.minItems ?? 0) ? [say(`must have at least ${rule.minItems} entries`)] : []),
    ...(rule.uniqueItems === true && new Set(texts).size < texts.length ? [say("must not name anything twice")] : []),
    ...(rule.items === undefined
      ? []
      : value.flatMap((entry, place) => faults(entry, rule.items as Schema, root, `${at}/${place}`))),
  ];
}

function ofObject(value: Readonly<Record<string, unknown>>, rule: Schema, root: Schema, at: string): readonly string[] {
  const say = (what: string): string => `${at === "" ? "/" : at} ${what}`;
  const has = (name: string): boolean => Object.hasOwn(value, name);
  const known = (rule.properties ?? {}) as Readonly<Record<string, Schema>>;
  const required = (rule.required ?? []) as readonly string[];
  const dependent = Object.entries((rule.dependentRequired ?? {}) as Readonly<Record<string, readonly string[]>>);
  const needed = dependent.flatMap(([name, needs]) => (has(name) ? needs : []));
  const found = [...required, ...needed].filter((name) => !has(name)).map((name) => say(`lacks ${name}`));
  const members = Object.keys(value);
  if (members.length > Number(rule.maxProperties ?? members.length)) {
    return [...found, say(`must have at most ${rule.maxProperties} members`)];
  }
  const more = rule.additionalProperties as Schema | false | undefined;
  const others = more === undefined ? [] : members.filter((name) => !Object.hasOwn(known, name)).sort(byCodePoint);
  const ofOthers = others.flatMap((name) => {
    if (more === false) return [say(`has ${name}, which is not known`)];
    const wrong = faults(name, (rule.propertyNames ?? {}) as Schema, root, "").map((what) => what.replace("/ ", ""));
    return [
      ...wrong.map((what) => say(`has the name ${name}, which ${what}`)),
      ...faults(value[name], more as Schema, root, `${at}/${name}`),
    ];
  });
  const ofKnown = Object.entries(known).flatMap(([name, inner]) =>
    has(name) ? faults(value[name], inner, root, `${at}/${name}`) : [],
  );
  return [...found, ...ofOthers, ...ofKnown];
}

/** Orders texts as Python does; JavaScript's order differs beyond the first 65,536 code points. */
function byCodePoint(one: string, other: string): number {
  const [a, b] = [[...one], [...other]];
  const at = a.findIndex((letter, place) => letter !== b[place]);
  return at === -1 ? a.length - b.length : (a[at]?.codePointAt(0) ?? 0) - (b[at]?.codePointAt(0) ?? -1);
}

const isObject = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

const READ = new Set([
  ...["$schema", "$comment", "$defs", "title", "description", "type", "enum", "const", "oneOf", "minLength"],
  ...["maxLength", "pattern", "minimum", "maximum", "items", "minItems", "maxItems", "uniqueItems", "properties"],
  ...["required", "dependentRequired", "additionalProperties", "propertyNames", "maxProperties"],
]);
type Type = "object" | "array" | "string" | "integer";
const TYPES: Readonly<Record<Type, (value: unknown) => boolean>> = {
  object: isObject,
  array: (value) => Array.isArray(value),
  string: (value) => typeof value === "string",
  integer: (value) => Number.isInteger(value),
};
const WORDS: Readonly<Record<Type, string>> = {
  object: "an object",
  array: "a list",
  string: "a text",
  integer: "a whole number",
};
