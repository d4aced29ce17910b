/** Before step one: how long it takes, what must lie ready, whom to ask. */
import { type Procedure, toolsOf } from "../../rules/procedure.ts";

export function WhatYouNeed({ procedure }: { readonly procedure: Procedure }) {
  const { needs = [] } = procedure;
  return (
    <section class="card" aria-labelledby="bench-need-name">
      <h2 id="bench-need-name">Lay ready</h2>
      <p>
        <strong>About {procedure.minutes} min</strong>
      </p>
      <List title="Used up" items={needs} />
      <List title="Tools" items={toolsOf(procedure).filter((tool) => !needs.includes(tool))} />
      {procedure.ask !== undefined && (
        <p>
          <strong>Not as written?</strong> {procedure.ask}
        </p>
      )}
    </section>
  );
}

function List({ title, items }: { readonly title: string; readonly items: readonly string[] }) {
  if (items.length === 0) return null;
  return (
    <div>
      <h3>{title}</h3>
      <ul class="bench-need" aria-label={title}>
        {items.map((item) => (
          <li key={item}>{item}</li>
        ))}
      </ul>
    </div>
  );
}
