/** A glued device was tested whole before the glue; closed, a few points are looked at once more. */
import type { Step } from "../../rules/procedure.ts";
import type { Bench } from "../../views/bench.ts";
import { FinalGate } from "./FinalGate.tsx";

export const RecheckGate = (props: { readonly bench: Bench; readonly step: Step }) => <FinalGate {...props} />;
