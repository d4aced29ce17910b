/** Which procedure a job follows: those for its model first. */

import { byModel, procedures } from "../../facts/catalogue.ts";
import { Choice, TwoLines } from "../../ui/fields.tsx";
import { Notice } from "../../ui/Notice.tsx";

type Props = { readonly model: string | null; readonly value: string | null; readonly onChoose: (id: string) => void };

export function ChooseProcedure({ model, value, onChoose }: Props) {
  const all = byModel(procedures(), model);
  if (all.length === 0) {
    return (
      <Notice tone="warn" title="No procedure is on this station">
        <p>A lead writes procedures; they come with the next sync.</p>
      </Notice>
    );
  }
  const options = all.map((p) => ({
    value: p.id,
    name: <TwoLines name={p.title} detail={`${p.model}, about ${p.minutes} min`} />,
  }));
  return <Choice label="Procedure" options={options} value={value} onChoose={onChoose} />;
}
