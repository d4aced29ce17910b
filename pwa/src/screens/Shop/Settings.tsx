/** The shop's settings. What other screens keep in the same document is left alone. */
import { useState } from "preact/hooks";
import { saveShop } from "../../actions/shop.ts";
import { docs } from "../../current.ts";
import { type Shop, shop } from "../../facts/people.ts";
import { esdChecks, type Item, intervalName, intervalOf } from "../../rules/esd.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { emergencyCard } from "../../views/emergency.ts";
import {
  FORGET_AFTER_DAYS,
  MOST_TERMS,
  PUT_AWAY_DAYS,
  readEmergency,
  readSettings,
  type Typed,
} from "../../views/settings.ts";
import { OnlineOnly } from "../parts/OnlineOnly.tsx";
import { EmergencyFields } from "./EmergencyFields.tsx";

const FIELDS: readonly (readonly [Exclude<keyof Typed, "terms">, string, string?])[] = [
  ["shop_name", "Name of the shop"],
  ["phone", "Telephone of the shop"],
  ["currency", "Currency", "Three letters, such as EUR."],
  ["warranty_days", "Warranty in days"],
  [
    "put_away_after_days",
    "Days until a job that is over is put away",
    "From then on stations read it from the server, which needs the network. Nothing is lost.",
  ],
  [
    "erase_after_months",
    "Months until personal data is erased",
    "Counted from the day a job is put away. The server then erases its names, numbers, texts and photos by itself. Empty: never. Local law says how long you must keep them, and how long you may.",
  ],
  [
    "forget_after_days",
    "Days without the server until a station forgets the shop",
    "In case it was lost or stolen; local law on personal data may ask for fewer. What it has not sent stays on it, and it fetches the rest again once it reaches the server.",
  ],
  ["time_zone", "Time zone", "As computers spell it, such as Europe/Lisbon."],
];

export function Settings() {
  const [typed, setTyped] = useState<Typed>(() => asTyped(shop()));
  const [page, setPage] = useState(shop().customer_page ?? "off");
  const [intervals, setIntervals] = useState(asIntervals(shop()));
  const [emergency, setEmergency] = useState(emergencyCard());
  const [readAt, setReadAt] = useState(revision());
  const { problem, busy, run, setProblem } = useAct();
  const [isSaved, setSaved] = useState(false);
  const readAgain = (): void => {
    setTyped(asTyped(shop()));
    setPage(shop().customer_page ?? "off");
    setIntervals(asIntervals(shop()));
    setEmergency(emergencyCard());
    setReadAt(revision());
    setProblem(null);
  };
  const save = async (): Promise<void> => {
    setSaved(false);
    const done = await run(() => {
      const read = readSettings(typed);
      if (!read.ok) return read;
      const card = readEmergency(emergency);
      if (!card.ok) return card;
      return saveShop({ ...read.value, customer_page: page, ...intervals, emergency: card.value }, readAt);
    });
    if (!done) return;
    setSaved(true);
    setReadAt(revision());
  };
  return (
    <>
      <Page title="Settings" above="Shop">
        <OnlineOnly />
        {FIELDS.map(([name, label, hint]) => (
          <TextField
            key={name}
            label={label}
            value={typed[name]}
            onInput={(value) => setTyped({ ...typed, [name]: value })}
            maxLength={80}
            {...(hint === undefined ? {} : { hint })}
          />
        ))}
        <TextField
          label="The shop's own terms"
          value={typed.terms}
          onInput={(terms) => setTyped({ ...typed, terms })}
          hint="Shown at booking in behind one press. Left empty, nobody is said to have read any."
          lines
          maxLength={MOST_TERMS}
        />
        <Choice
          label="Page for customers"
          options={[
            { value: "on", name: "On: a ticket's symbol shows how the repair stands" },
            { value: "off", name: "Off" },
          ]}
          value={page}
          onChoose={setPage}
        />
        {ITEMS.map((item) => (
          <Choice
            key={item}
            label={`Static check, ${esdChecks[item].name.toLowerCase()}`}
            options={esdChecks[item].intervals.map((value) => ({ value, name: intervalName(value) }))}
            value={intervals[esdChecks[item].setting]}
            onChoose={(value) => setIntervals({ ...intervals, [esdChecks[item].setting]: value })}
          />
        ))}
        <EmergencyFields card={emergency} onChange={setEmergency} />
        <ErasesMore months={typed.erase_after_months} />
        {problem !== null && (
          <Refusal problem={problem}>
            {problem.slug === "doc-changed" && <Button onPress={readAgain}>Show what stands now</Button>}
          </Refusal>
        )}
        {isSaved && <Notice tone="good" title="Saved on the server" />}
      </Page>
      <Dock>
        <Button onPress={save} tone="main" disabled={busy}>
          Save
        </Button>
      </Dock>
    </>
  );
}

/** Before it is saved: what a shorter time takes away at once. */
function ErasesMore({ months }: { readonly months: string }) {
  const [kept, next] = [shop().erase_after_months ?? 0, Number(months)];
  if (!(next > 0) || (kept > 0 && next >= kept)) return null;
  return (
    <Notice tone="warn" title="Once saved, the server erases within the hour">
      <p>
        All personal data of jobs that were put away more than {next === 1 ? "1 month" : `${next} months`} ago. Nobody
        can bring it back.
      </p>
    </Notice>
  );
}

const ITEMS: readonly Item[] = ["wrist_strap", "mat"];

const asIntervals = (kept: Shop) => ({
  strap_interval: intervalOf("wrist_strap", kept),
  mat_interval: intervalOf("mat", kept),
});

const revision = (): number => docs.value.get("shop")?.rev ?? 0;

const asTyped = (kept: Shop): Typed => ({
  shop_name: kept.shop_name ?? "",
  phone: kept.phone ?? "",
  currency: kept.currency ?? "",
  warranty_days: kept.warranty_days === undefined ? "" : String(kept.warranty_days),
  put_away_after_days: String(kept.put_away_after_days ?? PUT_AWAY_DAYS),
  erase_after_months: kept.erase_after_months ? String(kept.erase_after_months) : "",
  forget_after_days: String(kept.forget_after_days ?? FORGET_AFTER_DAYS),
  time_zone: kept.time_zone ?? "",
  terms: kept.terms ?? "",
});
