/** Facts for comparing stations: two that show the same check number show the same jobs, things and boxes. */
import { shownHash, state, station } from "../../current.ts";
import { useLoaded } from "../../ui/loaded.ts";
import { Refusal } from "../../ui/Notice.tsx";

const GROUP = 8;
const SHOWN_GROUPS = 4;

export function Station() {
  const { value: hash, problem } = useLoaded(shownHash, [state.value]);
  const own = station.value;
  return (
    <section class="stack" aria-labelledby="sync-station">
      <h2 id="sync-station">This station</h2>
      <dl class="facts">
        <dt>Station</dt>
        <dd>
          {own?.name}, <span class="code">{own?.station}</span>
        </dd>
        <dt>Log</dt>
        <dd>
          <span class="code">{own?.incarnation}</span>, {own?.seq} entries, {own?.acked} confirmed
        </dd>
        <dt>Check number</dt>
        <dd>
          <span class="code hash">{hash === undefined ? "" : groups(hash)}</span>
        </dd>
        <dt>Program</dt>
        <dd>{buildName()}</dd>
      </dl>
      {problem !== null && <Refusal problem={problem} answers={null} />}
      <p class="soft small">Two stations with nothing left to send and the same check number show the same.</p>
    </section>
  );
}

/** Half of the 256 bits, in groups that can be read aloud. */
const groups = (hash: string): string =>
  Array.from({ length: SHOWN_GROUPS }, (_, i) => hash.slice(i * GROUP, (i + 1) * GROUP)).join(" ");

/** The build's own name: the hash that the bundler put into the name of the first script. */
function buildName(): string {
  const src = document.querySelector<HTMLScriptElement>("script[type=module][src]")?.src ?? "";
  return /-([\w-]+)\.js$/.exec(src)?.[1] ?? "built on this machine";
}
