/** What the customer agrees to, each asked on its own. */
import { Choice } from "../../ui/fields.tsx";
import { Notice } from "../../ui/Notice.tsx";
import { CONSENTS } from "../../views/booking.ts";
import { shop } from "../../views/people.ts";
import type { StepProps } from "./step.ts";

export function AgreedStep({ booking, change }: StepProps) {
  const days = shop().warranty_days;
  return (
    <>
      {CONSENTS.map(({ slug, title, say }) => (
        <div class="stack" key={slug}>
          <Choice
            label={title}
            options={[
              { value: "yes", name: "Agreed" },
              { value: "no", name: "Not agreed" },
            ]}
            value={booking.agreed[slug] ?? null}
            onChoose={(answer) => change({ agreed: { ...booking.agreed, [slug]: answer } })}
            across
          />
          <p class="soft">{slug === "warranty_terms" && days !== undefined ? `${say} They give ${days} days.` : say}</p>
          {booking.agreed[slug] === "no" && (
            <Notice tone="warn" title="Speak about it before the device is opened">
              <p>The job will show that this was not agreed.</p>
            </Notice>
          )}
        </div>
      ))}
    </>
  );
}
