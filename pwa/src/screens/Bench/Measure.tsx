/** A screw that lies loose: its measured length leads to its group, or says that the reading cannot tell. */
import { useState } from "preact/hooks";
import type { Bench } from "../../facts/work.ts";
import type { Fastener } from "../../rules/procedure.ts";
import { type Match, MEASURE_TOLERANCE_UM, matchScrew, measuredFrom, readMm } from "../../rules/screwMatch.ts";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { lengthMm, upper } from "../../words/format.ts";

const ANY = "";

export function Measure({ bench }: { readonly bench: Bench }) {
  const [text, setText] = useState("");
  const [head, setHead] = useState(ANY);
  const [drive, setDrive] = useState(ANY);
  const { fasteners } = bench.procedure;
  const heads = [...new Set(fasteners.map((f) => f.head))];
  const drives = [...new Set(fasteners.map((f) => f.drive))];
  const um = readMm(text);
  const match = um === null ? null : matchScrew({ length_um: um, head: head || null, drive: drive || null }, fasteners);
  return (
    <details class="bench-more">
      <summary>
        <Shape name="scan" size={24} />
        Measure a loose screw
      </summary>
      <div class="stack">
        <Choice
          label="Head"
          options={[...heads.map((h) => ({ value: h, name: upper(h) })), { value: ANY, name: "Not sure" }]}
          value={head}
          onChoose={setHead}
        />
        <ul class="soft small">
          {heads.map((h) => (
            <li key={h}>
              {upper(h)}: measured {measuredFrom(h) ?? "as the procedure's author did"}
            </li>
          ))}
        </ul>
        {drives.length > 1 && (
          <Choice
            label="Driver that fits"
            options={[...drives.map((d) => ({ value: d, name: upper(d) })), { value: ANY, name: "Not sure" }]}
            value={drive}
            onChoose={setDrive}
            across
          />
        )}
        <TextField label="Length in mm" value={text} onInput={setText} inputMode="decimal" maxLength={10} />
        <div aria-live="polite">
          {match !== null && <Answer match={match} />}
          {match === null && text.trim() !== "" && <p class="soft">A length in millimetres, such as 3.1</p>}
        </div>
        <p class="soft small">
          A reading counts as good to {MEASURE_TOLERANCE_UM / 1000} mm either way; that is a guess.
        </p>
      </div>
    </details>
  );
}

function Answer({ match }: { readonly match: Match }) {
  switch (match.kind) {
    case "one":
      return (
        <p class="hands-match">
          <Shape name="done" size={28} />
          <span>
            <strong class="big">Pocket {match.fastener.pocket}</strong>: {naming(match.fastener)}
          </span>
        </p>
      );
    case "close":
      return (
        <div class="hands-match warn">
          <Shape name="warn" size={28} />
          <div>
            <strong class="big">Too close to call</strong>
            <ul>
              {match.fasteners.map((f) => (
                <li key={f.id}>
                  Pocket {f.pocket}: {naming(f)}
                </li>
              ))}
            </ul>
            <p>Measure again, look at head and driver, or lay it beside one of each. Never try it in the device.</p>
          </div>
        </div>
      );
    case "none":
      return (
        <div class="hands-match warn">
          <Shape name="warn" size={28} />
          <div>
            <strong class="big">No screw of this procedure is so long</strong>
            {match.nearest !== null && (
              <p>
                The nearest is in pocket {match.nearest.pocket}: {naming(match.nearest)}. Measure again; it may be of
                another device.
              </p>
            )}
          </div>
        </div>
      );
  }
}

const naming = (f: Fastener): string => `${f.name}, ${lengthMm(f.length_um)}, ${f.head} head, ${f.drive}`;
