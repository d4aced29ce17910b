/** Everything at a glance before it becomes a job; each line leads back to its step. */
import type { ComponentChildren } from "preact";
import { consents } from "../../facts/agreement.ts";
import { INTAKE_POINTS, limitMinor, STEP_TITLES, type StepId, walkOf, wanted } from "../../facts/booking.ts";
import { newestProcedure } from "../../facts/catalogue.ts";
import { QUESTIONS } from "../../rules/safety.ts";
import { CALL_FIRST } from "../../rules/telling.ts";
import { lockedWords, testPoints } from "../../tables/testPoints.ts";
import { Shape } from "../../ui/Shape.tsx";
import { dayTime } from "../../words/format.ts";
import { priceWords } from "../parts/priceWords.ts";
import type { StepProps } from "./step.ts";

export function SummaryStep({ booking, change }: StepProps) {
  const steps = walkOf(booking).filter((step) => step !== "summary");
  return (
    <ul class="rows">
      {steps.map((step) => (
        <li class="book-summary" key={step}>
          <div>
            <h2 class="small soft">{STEP_TITLES[step]}</h2>
            {wanted(booking, step) === null ? (
              <Answer booking={booking} step={step} />
            ) : (
              <p class="mark warn">
                <Shape name="warn" /> {wanted(booking, step)}
              </p>
            )}
          </div>
          <button
            type="button"
            class="button"
            onClick={() => change({ step, toSummary: true })}
            aria-label={`Change: ${STEP_TITLES[step]}`}
          >
            Change
          </button>
        </li>
      ))}
    </ul>
  );
}

function Answer({
  booking,
  step,
}: {
  readonly booking: StepProps["booking"];
  readonly step: StepId;
}): ComponentChildren {
  switch (step) {
    case "safety":
      return (
        <>
          {QUESTIONS.map(({ id, ask }) => (
            <p key={id}>
              {ask} {booking.safety[id] === "yes" ? "Yes" : "No"}.
            </p>
          ))}
        </>
      );
    case "device":
      return <p>{booking.imei || booking.serial || (booking.device ?? "No number can be read")}</p>;
    case "model":
      return <p>{booking.model}</p>;
    case "who":
      return <p>{[booking.name, booking.phone, booking.mail].filter((t) => t.trim() !== "").join(", ")}</p>;
    case "complaint":
      return <p>“{booking.complaint}”</p>;
    case "marks":
      return (
        <p>
          {booking.marks.length === 0
            ? "No marks"
            : booking.marks.length === 1
              ? "One mark"
              : `${booking.marks.length} marks`}
          {booking.photos.length > 0 &&
            `, ${booking.photos.length} ${booking.photos.length === 1 ? "photo" : "photos"} of the whole`}
        </p>
      );
    case "lock":
      return <p>{booking.lock === "unlocked" ? "The customer unlocks it" : "It stays locked"}</p>;
    case "tests":
      return <Tests booking={booking} />;
    case "agreed":
      return (
        <p>
          {consents()
            .map((c) => `${c.title}: ${booking.agreed[c.slug] === "yes" ? "agreed" : "not agreed"}`)
            .join(". ")}
        </p>
      );
    case "price":
      return (
        <p>
          {priceWords(
            booking.price === "call" ? CALL_FIRST : booking.price === "limit" ? limitMinor(booking.limit) : null,
          )}
        </p>
      );
    case "promise":
      return <p>{dayTime(booking.promised_at_ms ?? 0)}</p>;
    default:
      return <p>{newestProcedure(booking.procedure)?.title ?? "The bench decides"}</p>;
  }
}

function Tests({ booking }: { readonly booking: StepProps["booking"] }) {
  const named = (result: string): string =>
    INTAKE_POINTS.filter((p) => booking.tests[p]?.result === result)
      .map((p) => testPoints[p]?.name ?? p)
      .join(", ");
  const count = (result: string): number => INTAKE_POINTS.filter((p) => booking.tests[p]?.result === result).length;
  return (
    <>
      <p>
        {count("pass")} work, {count("fail")} fail, {count("cannot")} cannot be tested
      </p>
      {booking.lock === "locked" && <p>{lockedWords.name}</p>}
      {count("fail") > 0 && <p>Fails: {named("fail")}</p>}
    </>
  );
}
