/** An unbound tray: the device's label binds it to its job, and the bench opens. */
import { useState } from "preact/hooks";
import { bind, isNotBegun, jobForTray, mayBind } from "../../actions/tray.ts";
import { signedOn, state } from "../../current.ts";
import { newestProcedure } from "../../facts/catalogue.ts";
import { said } from "../../facts/texts.ts";
import { jobOfTray } from "../../facts/things.ts";
import { ok, type Result, refuse } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Scanner } from "../../ui/Scanner.tsx";
import { groupCode } from "../../words/format.ts";
import { ChooseProcedure } from "../parts/ChooseProcedure.tsx";
import { TrayRefusal } from "../parts/TrayRefusal.tsx";
import { go } from "../route.ts";

export function Tray({ code }: { readonly code: string }) {
  const [job, setJob] = useState<string | null>(null);
  const [chosen, setChosen] = useState<string | null>(null);
  const { problem, run } = useAct();
  const above = `Tray ${groupCode(code)}`;

  const start = async (target: string, procedureId: string | null): Promise<Result<unknown>> => {
    const bound = await bind(code, target, procedureId);
    if (bound.ok) go(`bench/${target}`, "replace");
    return bound;
  };
  const found = (text: string) =>
    run(() => {
      const target = jobForTray(text);
      if (!target.ok) return target;
      setJob(target.value);
      const may = mayBind(code, target.value);
      if (!may.ok) return may;
      const record = state.value.job.get(target.value);
      const isChosen = record === undefined || !isNotBegun(record) || newestProcedure(record.procedure) !== null;
      if (isChosen) return start(target.value, record?.procedure ?? null);
      setChosen(null);
      return ok(null);
    });

  const held = jobOfTray(code);
  const booked = job === null ? undefined : state.value.job.get(job);
  const waits = booked !== undefined && problem === null && isNotBegun(booked);
  if (signedOn.value === null) {
    return (
      <Page title="Nobody is signed on" above={above}>
        <Refusal problem={{ slug: "not-signed-on" }}>
          <a class="button" href="#/sign-on">
            Sign on
          </a>
        </Refusal>
      </Page>
    );
  }
  if (waits && job !== null && held === null) {
    const { model, complaint } = booked;
    return (
      <>
        <Page title="Choose the procedure" above={`${above} · ${model ?? "device"}`}>
          <p class="big">{said(complaint)}</p>
          <ChooseProcedure model={model} value={chosen} onChoose={setChosen} />
        </Page>
        <Dock>
          <Button
            onPress={() => run(() => (chosen === null ? refuse("no-procedure") : start(job, chosen)))}
            tone="main"
          >
            Bind the tray and begin
          </Button>
        </Dock>
      </>
    );
  }
  return (
    <Page title="Scan the device label" above={above}>
      <p>Or the ticket. Tray and device then belong together until the job is closed.</p>
      <Scanner onFound={found} say="Device label or ticket" enterWord="Take it" atOnce />
      {problem !== null && <TrayRefusal problem={problem} tray={code} job={job} />}
    </Page>
  );
}
