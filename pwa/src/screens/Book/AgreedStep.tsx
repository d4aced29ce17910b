/** What the customer agrees to, each asked on its own; the shop's own terms, where it entered some, behind one press. */
import { useState } from "preact/hooks";
import { AGREEMENT_VERSION, consents, shopTerms, termsRevision } from "../../facts/agreement.ts";
import { shop } from "../../facts/people.ts";
import { Choice } from "../../ui/fields.tsx";
import { Notice } from "../../ui/Notice.tsx";
import type { StepProps } from "./step.ts";

export function AgreedStep({ booking, change }: StepProps) {
  const days = shop().warranty_days;
  return (
    <>
      {shopTerms() !== "" && <Terms booking={booking} change={change} />}
      {consents().map(({ slug, title, say }) => (
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
          <p class="soft">
            {slug === "warranty_terms" && days !== undefined ? `${say} The shop gives ${days} days.` : say}
          </p>
          {booking.agreed[slug] === "no" && (
            <Notice tone="warn" title="Speak about it before the device is opened">
              <p>The job will show that this was not agreed.</p>
            </Notice>
          )}
        </div>
      ))}
      <p class="soft small">Wording {AGREEMENT_VERSION} of these sentences.</p>
    </>
  );
}

/** Shown to the customer with one press; the booking then names their revision. */
function Terms({ booking, change }: StepProps) {
  const [open, setOpen] = useState(false);
  const show = (): void => {
    setOpen(!open);
    if (!open) change({ terms: termsRevision() });
  };
  return (
    <section class="stack" aria-label="The shop's terms">
      <button type="button" class="button" aria-expanded={open} onClick={show}>
        {open
          ? "Hide the shop's terms"
          : booking.terms === null
            ? "Show the shop's terms"
            : "Show the shop's terms again"}
      </button>
      {open && <div class="card book-terms">{shopTerms()}</div>}
    </section>
  );
}
