/**
 * Whether a document has the form that a schema of shared/schema/ describes, with a readable list of where it has not.
 * Reads the part of JSON Schema (2020-12) that our own schemas of documents use, and no more.
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
  if (typeof value === "string") found.push(...ofText(value, rule).map(say));
  else if (typeof value === "number") found.push(...ofNumber(value, rule).map(say));
  else if (Array.isArray(value)) found.push(...ofList(value, rule, root, at));
  else if (isObject(value)) found.push(...ofObject(value, rule, root, at));
  return found;
}

function resolved(rule: Schema, root: Schema): Schema {
  if (rule.$ref === undefined) return rule;
  const named = (root.$defs as Record<string, Schema>)[String(rule.$ref).replace("#/$defs/", "")];
  if (named === undefined) throw new Error(`no ${String(rule.$ref)}`);
  return named;
}

function ofText(value: string, rule: Schema): readonly string[] {
  if ([...value].length < Number(rule.minLength ?? 0)) return ["must not be empty"];
  const pattern = rule.pattern as string | undefined;
  return pattern !== undefined && !new RegExp(pattern, "u").test(value) ? [`must be like ${pattern}`] : [];
}

const ofNumber = (value: number, rule: Schema): readonly string[] => [
  ...(value < Number(rule.minimum ?? value) ? [`must be at least ${rule.minimum}`] : []),
  ...(value > Number(rule.maximum ?? value) ? [`must be at most ${rule.maximum}`] : []),
];

function ofList(value: readonly unknown[], rule: Schema, root: Schema, at: string): readonly string[] {
  const say = (what: string): string => `${at === "" ? "/" : at} ${what}`;
  const text = value.map((entry) => JSON.stringify(entry));
  return [
    ...(value.length < Number(rule.minItems ?? 0) ? [say(`must have at least ${rule.minItems} entries`)] : []),
    ...(value.length > Number(rule.maxItems ?? value.length)
      ? [say(`must have at most ${rule.maxItems} entries`)]
      : []),
    ...(rule.uniqueItems === true && new Set(text).size < text.length ? [say("must not name anything twice")] : []),
    ...value.flatMap((entry, place) => faults(entry, (rule.items ?? {}) as Schema, root, `${at}/${place}`)),
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
  for (const name of Object.keys(value).sort()) {
    if (Object.hasOwn(known, name)) continue;
    if (rule.additionalProperties === false) {
      found.push(say(`has ${name}, which is not known`));
      continue;
    }
    const wrong = faults(name, (rule.propertyNames ?? {}) as Schema, root, "").map((what) => what.replace("/ ", ""));
    found.push(...wrong.map((what) => say(`has the name ${name}, which ${what}`)));
    found.push(...faults(value[name], (rule.additionalProperties ?? {}) as Schema, root, `${at}/${name}`));
  }
  for (const [name, inner] of Object.entries(known)) {
    if (has(name)) found.push(...faults(value[name], inner, root, `${at}/${name}`));
  }
  return found;
}

const isObject = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

const READ = new Set([
  ...["$schema", "$comment", "$defs", "title", "type", "enum", "const", "oneOf", "minLength", "pattern", "minimum"],
  ...["maximum", "items", "minItems", "maxItems", "uniqueItems", "properties", "required", "dependentRequired"],
  ...["additionalProperties", "propertyNames"],
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
