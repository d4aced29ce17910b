/** A heading of the record with its facts and lines; a long list of facts is set small. */
import type { Part } from "../../views/record.ts";

export function RecordPart({ part, isList = false }: { readonly part: Part; readonly isList?: boolean }) {
  const { title, facts, lines } = part;
  return (
    <section class="record-lines" aria-label={title}>
      <h2>{title}</h2>
      {isList ? (
        <ol class="record-entries">
          {facts.map(([name, said], place) => (
            <li key={place /* entries only ever come at the end */}>
              <span class="soft">{name}</span>
              <span>{said}</span>
            </li>
          ))}
        </ol>
      ) : (
        facts.length > 0 && (
          <dl class="record-facts">
            {facts.map(([name, said]) => (
              <div key={`${name} ${said}`}>
                <dt>{name}</dt>
                <dd>{said}</dd>
              </div>
            ))}
          </dl>
        )
      )}
      {lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
    </section>
  );
}
