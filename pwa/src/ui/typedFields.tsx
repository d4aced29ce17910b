/** Fields of which the text that is typed stands for something else: a number, a list of sentences. */
import { useState } from "preact/hooks";
import { TextField } from "./fields.tsx";

/** A text that is typed for a value. It stays as typed for as long as it stands for the value, else it is written anew. */
function useTyped<T>(
  value: T,
  write: (value: T) => string,
  read: (text: string) => T,
): readonly [string, (text: string) => T] {
  const [text, setText] = useState(() => write(value));
  const stands = JSON.stringify(read(text)) === JSON.stringify(value);
  return [
    stands ? text : write(value),
    (typed) => {
      setText(typed);
      return read(typed);
    },
  ];
}

/** A whole number, or one of thousandths shown with a point: `thousandths` makes 3600 of "3.6". */
export function NumberField(props: {
  readonly label: string;
  readonly value: number | undefined;
  readonly onChange: (value: number | undefined) => void;
  readonly thousandths?: boolean;
  readonly hint?: string;
}) {
  const factor = props.thousandths === true ? 1000 : 1;
  const [text, type] = useTyped(
    props.value,
    (value) => (value === undefined ? "" : String(value / factor)),
    (typed) => readNumber(typed, factor),
  );
  return (
    <TextField
      label={props.label}
      value={text}
      onInput={(typed) => props.onChange(type(typed))}
      inputMode={factor === 1 ? "numeric" : "decimal"}
      maxLength={9}
      {...(props.hint === undefined ? {} : { hint: props.hint })}
    />
  );
}

function readNumber(typed: string, factor: number): number | undefined {
  const plain = typed.trim().replace(",", ".");
  const fits = factor === 1 ? /^-?[0-9]+$/ : /^[0-9]+(\.[0-9]*)?$/;
  return fits.test(plain) ? Math.round(Number(plain) * factor) : undefined;
}

/** Several sentences, one a line. */
export function LinesField(props: {
  readonly label: string;
  readonly values: readonly string[];
  readonly onChange: (values: readonly string[]) => void;
  readonly hint?: string;
}) {
  const [text, type] = useTyped(
    props.values,
    (values) => values.join("\n"),
    (typed) => typed.split("\n").flatMap((line) => (line.trim() === "" ? [] : [line.trim()])),
  );
  return (
    <TextField
      label={props.label}
      value={text}
      onInput={(typed) => props.onChange(type(typed))}
      maxLength={2000}
      lines
      {...(props.hint === undefined ? {} : { hint: props.hint })}
    />
  );
}
