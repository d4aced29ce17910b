/** Fields and choices that know nothing of Traymark. */
import type { ComponentChildren } from "preact";
import { useId } from "preact/hooks";

type TextProps = {
  readonly label: string;
  readonly value: string;
  readonly onInput: (value: string) => void;
  readonly hint?: string;
  readonly lines?: boolean;
  readonly type?: "text" | "tel" | "email" | "number" | "datetime-local";
  readonly inputMode?: "text" | "numeric" | "tel" | "email" | "decimal";
  readonly maxLength?: number;
  readonly autoComplete?: string;
};

export function TextField(props: TextProps) {
  const id = useId();
  const shared = {
    id,
    value: props.value,
    maxLength: props.maxLength ?? 200,
    "aria-describedby": props.hint === undefined ? undefined : `${id}-hint`,
    autocomplete: props.autoComplete ?? "off",
    onInput: (event: { currentTarget: { value: string } }) => props.onInput(event.currentTarget.value),
  };
  return (
    <div class="field">
      <label for={id}>{props.label}</label>
      {props.lines ? <textarea {...shared} /> : <input {...plainInput(props, shared)} />}
      {props.hint !== undefined && (
        <span class="hint" id={`${id}-hint`}>
          {props.hint}
        </span>
      )}
    </div>
  );
}

/** Preact types an input by its literal type; ours is chosen at run time. */
function plainInput(props: TextProps, shared: object): object {
  const type = props.type ?? "text";
  return { ...shared, type, inputMode: props.inputMode, autocapitalize: "off", spellcheck: false };
}

type Option<T extends string> = { readonly value: T; readonly name: ComponentChildren };

/** An option's name with what tells it apart below. */
export function TwoLines({ name, detail }: { readonly name: string; readonly detail: string }) {
  return (
    <span class="two-lines">
      <span>{name}</span>
      <span class="soft small">{detail}</span>
    </span>
  );
}

/** One of several. */
export function Choice<T extends string>(props: {
  readonly label: string;
  readonly options: readonly Option<T>[];
  readonly value: T | null;
  readonly onChoose: (value: T) => void;
  readonly across?: boolean;
}) {
  const name = useId();
  return (
    <fieldset class="field">
      <legend>{props.label}</legend>
      <div class={props.across ? "choices across" : "choices"}>
        {props.options.map((o) => (
          <label class="choice" key={o.value}>
            <input
              type="radio"
              name={name}
              checked={o.value === props.value}
              onChange={() => props.onChoose(o.value)}
            />
            <span>{o.name}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

/** Any of several. */
export function Choices<T extends string>(props: {
  readonly label: string;
  readonly options: readonly Option<T>[];
  readonly values: readonly T[];
  readonly onChange: (values: readonly T[]) => void;
  readonly across?: boolean;
}) {
  const toggle = (value: T) =>
    props.values.includes(value) ? props.values.filter((v) => v !== value) : [...props.values, value];
  return (
    <fieldset class="field">
      <legend>{props.label}</legend>
      <div class={props.across ? "choices across" : "choices"}>
        {props.options.map((o) => (
          <label class="choice many" key={o.value}>
            <input
              type="checkbox"
              checked={props.values.includes(o.value)}
              onChange={() => props.onChange(toggle(o.value))}
            />
            <span>{o.name}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

/** So many letters of a chosen option show on the narrowest phone; a longer one stands below once more, whole. */
const FITS_A_PHONE = 24;

/** One of many, in a list that opens. `none` is offered where nothing may be chosen. */
export function Select<T extends string>(props: {
  readonly label: string;
  readonly options: readonly { readonly value: T; readonly name: string }[];
  readonly value: T | null;
  readonly onChoose: (value: T | null) => void;
  readonly none?: string;
}) {
  const id = useId();
  const whole = props.options.find((o) => o.value === props.value)?.name ?? "";
  const isListed = props.value === null || props.value === "" || props.options.some((o) => o.value === props.value);
  return (
    <div class="field">
      <label for={id}>{props.label}</label>
      <select
        id={id}
        value={props.value ?? ""}
        onChange={(event) => props.onChoose(event.currentTarget.value === "" ? null : (event.currentTarget.value as T))}
      >
        <option value="" disabled={props.none === undefined}>
          {props.none ?? "Choose"}
        </option>
        {!isListed && <option value={props.value ?? ""}>{props.value}</option>}
        {props.options.map((o) => (
          <option key={o.value} value={o.value}>
            {o.name}
          </option>
        ))}
      </select>
      {whole.length > FITS_A_PHONE && (
        <span class="hint select-whole" aria-hidden="true">
          {whole}
        </span>
      )}
    </div>
  );
}
