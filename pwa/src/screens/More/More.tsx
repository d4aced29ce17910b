/** The places that are not needed at every hand's turn. */
import { useState } from "preact/hooks";
import { type Look, lookNow, setLook } from "../../actions/look.ts";
import { signOff } from "../../actions/signOn.ts";
import { signedOn, station } from "../../current.ts";
import { nowMs } from "../../device/clock.ts";
import { staffName } from "../../facts/people.ts";
import { ok } from "../../problem.ts";
import { useAct } from "../../ui/act.ts";
import { Button } from "../../ui/Dock.tsx";
import { Choice } from "../../ui/fields.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { safePlaceLine } from "../../views/safePlace.ts";
import { go } from "../route.ts";

const PLACES: readonly (readonly [string, string, string])[] = [
  ["find", "Find a job", "By name, number, model or code; older ones too"],
  ["trays", "Trays", "Which are free, and labels for new ones"],
  ["safe", "Safe place", "Unsafe batteries that wait for a collector"],
  ["parts", "Parts", "What is on the shelf, and receiving new ones"],
  ["print", "To print", "Labels that wait for the printer"],
  ["look-at", "To look at", "Broken rules and late entries, for a lead"],
  ["emergency", "Emergency page", "Whom to call and what to do when a battery burns"],
  ["sync", "Sync", "What is only on this station"],
  ["procedures", "Procedures", "Writing and revising the bench's work instructions"],
  ["shop", "Shop", "Staff, stations, settings, catalogue"],
];

const LOOKS: readonly { readonly value: Look; readonly name: string }[] = [
  { value: "auto", name: "Automatic" },
  { value: "light", name: "Light" },
  { value: "dark", name: "Dark" },
];

export function More() {
  const [look, choose] = useState<Look>(lookNow());
  const { problem, run } = useAct();
  const off = () =>
    run(
      async () => ok(await signOff()),
      () => go("sign-on"),
    );
  return (
    <Page title="More" above={`${station.value?.shop ?? ""}, station ${station.value?.name ?? ""}`}>
      <ul class="rows">
        {PLACES.map(([path, name, what]) => (
          <li key={path}>
            <a href={`#/${path}`} class="row-link">
              <strong>{name}</strong>
              <span class="soft">{path === "safe" ? (safePlaceLine(nowMs()) ?? what) : what}</span>
            </a>
          </li>
        ))}
      </ul>
      <Choice
        label="Look of this station"
        options={LOOKS}
        value={look}
        onChoose={(chosen) => {
          choose(chosen);
          void run(async () => ok(await setLook(chosen)));
        }}
        across
      />
      {problem !== null && <Refusal problem={problem} />}
      {signedOn.value !== null && <Button onPress={off}>Sign {staffName(signedOn.value)} off</Button>}
    </Page>
  );
}
