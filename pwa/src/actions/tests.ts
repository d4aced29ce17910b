/** Reading a test point. */
import type { Event } from "../events/envelope.ts";
import type { TestResult, TestStage } from "../events/kinds.gen.ts";
import { type Result, refuse } from "../problem.ts";
import { act } from "./act.ts";

export type Reading = {
  readonly point: string;
  readonly result: TestResult;
  readonly why?: string;
  readonly try?: number;
};

/** One reading; the last one of a stage stands. `test-why-missing` when a point cannot be tested and nothing says why. */
export async function readTest(code: string, stage: TestStage, reading: Reading): Promise<Result<readonly Event[]>> {
  const why = reading.why?.trim() ?? "";
  if (reading.result === "cannot" && why === "") return refuse("test-why-missing");
  const body = {
    stage,
    point: reading.point,
    result: reading.result,
    ...(why === "" ? {} : { why }),
    ...(reading.try === undefined ? {} : { try: reading.try }),
  };
  return act(() => [{ kind: "test.read", job: code, body }]);
}
