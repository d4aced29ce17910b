/** The list of screens. All but the start page are loaded when first needed; all are precached. */
import type { ComponentType, VNode } from "preact";
import { useEffect, useState } from "preact/hooks";
import { isAway, isFromArchive } from "../facts/things.ts";
import { Button } from "../ui/Dock.tsx";
import { Refusal } from "../ui/Notice.tsx";
import { Page } from "../ui/Page.tsx";
import { Scan } from "./Scan/Scan.tsx";

type Args = readonly string[];
type Load = () => Promise<(args: Args) => VNode>;

const SCREENS: Readonly<Record<string, Load>> = {
  trays: async () => {
    const { Trays } = await import("./Trays/Trays.tsx");
    return () => <Trays />;
  },
  "sign-on": async () => {
    const { SignOn } = await import("./SignOn/SignOn.tsx");
    return (a) => <SignOn badge={a[0] ?? null} />;
  },
  join: async () => {
    const { Join } = await import("./Join/Join.tsx");
    return (a) => <Join code={a[0] ?? null} />;
  },
  bench: async () => {
    const { Bench } = await import("./Bench/Bench.tsx");
    return (a) => <Bench code={a[0] ?? ""} />;
  },
  calibrate: async () => {
    const { Calibrate } = await import("./Calibrate/Calibrate.tsx");
    return () => <Calibrate />;
  },
  tray: async () => {
    const { Tray } = await import("./Tray/Tray.tsx");
    return (a) => <Tray code={a[0] ?? ""} />;
  },
  boxes: async () => {
    const { Boxes } = await import("./Boxes/Boxes.tsx");
    return () => <Boxes />;
  },
  box: async () => {
    const { Box } = await import("./Box/Box.tsx");
    return (a) => <Box args={a} />;
  },
  parts: async () => {
    const { Parts } = await import("./Part/Parts.tsx");
    return () => <Parts />;
  },
  part: async () => {
    const { Part } = await import("./Part/Receive.tsx");
    return (a) => <Part code={a[0] ?? null} />;
  },
  trace: async () => {
    const { Trace } = await import("./Trace/Trace.tsx");
    return (a) => <Trace code={a[0] ?? ""} />;
  },
  clash: async () => {
    const { Clash } = await import("./Clash/Clash.tsx");
    return (a) => <Clash code={a[0] ?? ""} />;
  },
  safe: async () => {
    const { Safe } = await import("./Safe/Safe.tsx");
    return (a) => <Safe part={a[0] ?? null} />;
  },
  emergency: async () => {
    const { Emergency } = await import("./Emergency/Emergency.tsx");
    return () => <Emergency />;
  },
  forgotten: async () => {
    const { Forgotten } = await import("./Forgotten/Forgotten.tsx");
    return () => <Forgotten />;
  },
  sync: async () => {
    const { Sync } = await import("./Sync/Sync.tsx");
    return () => <Sync />;
  },
  more: async () => {
    const { More } = await import("./More/More.tsx");
    return () => <More />;
  },
  shop: async () => {
    const { Shop } = await import("./Shop/Shop.tsx");
    return (a) => <Shop part={a[0] ?? null} />;
  },
  procedures: async () => {
    const { Procedures } = await import("./Procedures/Procedures.tsx");
    return (a) => <Procedures id={a[0] ?? null} />;
  },
  book: async () => {
    const [{ Book }, { Booked }] = await Promise.all([import("./Book/Book.tsx"), import("./Book/Booked.tsx")]);
    return (a) =>
      a[0] === "done" ? <Booked code={a[1] ?? ""} /> : <Book imei={a[0] === "imei" ? (a[1] ?? null) : null} />;
  },
  job: async () => {
    const { JobScreen } = await import("./Job/Job.tsx");
    return (a) => <JobScreen code={a[0] ?? ""} part={a[1] ?? null} detail={a[2] ?? null} />;
  },
  queue: async () => {
    const { Queue } = await import("./Queue/Queue.tsx");
    return () => <Queue />;
  },
  "self-test": async () => {
    const { SelfTest } = await import("./SelfTest/SelfTest.tsx");
    return (a) => <SelfTest code={a[0] ?? ""} stage={a[1] ?? null} />;
  },
  photo: async () => {
    const { PhotoScreen } = await import("./Photo/Photo.tsx");
    return (a) => <PhotoScreen args={a} />;
  },
  customer: async () => {
    const { Customer } = await import("./Customer/Customer.tsx");
    return (a) => <Customer job={a[0] ?? ""} />;
  },
  find: async () => {
    const { Find } = await import("./Find/Find.tsx");
    return () => <Find />;
  },
  "look-at": async () => {
    const { LookAt } = await import("./LookAt/LookAt.tsx");
    return () => <LookAt />;
  },
  "put-away": async () => {
    const { PutAway } = await import("./PutAway/PutAway.tsx");
    return ([kind = "", text = ""]) => <PutAway asked={kind === "ticket" ? { ticket: text } : { code: text }} />;
  },
  print: async () => {
    const { ToPrint } = await import("./ToPrint/ToPrint.tsx");
    return () => <ToPrint />;
  },
};

type View = { readonly key: string; readonly node: ComponentType };

type Place = { readonly name: string; readonly args: Args };

/** The screen of an address; of something that was put away, first the one that reads it from the server. */
export function Screen({ name, args }: Place) {
  const code = args.find(isAway);
  return code === undefined ? <Shown name={name} args={args} /> : <Shown name="put-away" args={["code", code]} />;
}

function Shown({ name, args }: Place) {
  const key = `${name}/${args.join("/")}`;
  const [view, setView] = useState<View | null>(null);
  const [turn, setTurn] = useState(0);
  const load = SCREENS[name];
  useEffect(() => {
    let left = false;
    load?.().then(
      (draw) => left || setView({ key, node: () => draw(args) }),
      (error: unknown) =>
        left || setView({ key, node: () => <Missing error={error} onAgain={() => setTurn(turn + 1)} /> }),
    );
    return () => {
      left = true;
    };
  }, [key, turn]);
  if (load === undefined) return <Scan />;
  if (view === null || view.key !== key) return null;
  const Node = view.node;
  return (
    <>
      {args.some(isFromArchive) && (
        <aside class="put-away-line" aria-label="Put away">
          Put away. Read from the server; what you add here is kept.
        </aside>
      )}
      <Node key={key} />
    </>
  );
}

/** A screen that the browser dropped, and that cannot be fetched without a network. The others go on working. */
function Missing({ error, onAgain }: { readonly error: unknown; readonly onAgain: () => void }) {
  return (
    <Page title="Not loaded">
      <Refusal problem={{ slug: "screen-missing", detail: String(error) }}>
        <Button onPress={onAgain}>Try again</Button>
      </Refusal>
    </Page>
  );
}
