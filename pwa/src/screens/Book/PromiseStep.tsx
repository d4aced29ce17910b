/** When will it be ready? */
import { PromiseChoice } from "../parts/PromiseChoice.tsx";
import type { StepProps } from "./step.ts";

export function PromiseStep({ booking, change }: StepProps) {
  return <PromiseChoice at_ms={booking.promised_at_ms} onChoose={(promised_at_ms) => change({ promised_at_ms })} />;
}
