/** A collector's pick-up: what goes, who takes it, with which paper. It leaves the safe place for good. */
import { useState } from "preact/hooks";
import { handToCollector, photographPaper } from "../../actions/safePlace.ts";
import { isLead } from "../../facts/people.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choices, TextField, TwoLines } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { thingName } from "../../views/history.ts";
import { cellWords, inSafePlace } from "../../views/safePlace.ts";
import { groupCode } from "../../words/format.ts";
import { PhotoButton } from "../parts/photos/PhotoButton.tsx";
import { PhotoStrip } from "../parts/photos/PhotoStrip.tsx";
import { go } from "../route.ts";

export function Collect() {
  const [things, setThings] = useState<readonly string[]>([]);
  const [who, setWho] = useState("");
  const [paper, setPaper] = useState("");
  const [agreed, setAgreed] = useState<Readonly<Record<string, string>>>({});
  const [photos, setPhotos] = useState<readonly string[]>([]);
  const { problem, run } = useAct();
  const kept = inSafePlace().filter((one) => !one.clash);
  const devices = things.filter((code) => code.startsWith("D"));
  const photograph = (picture: Blob) =>
    run(
      () => photographPaper(picture),
      (photo) => setPhotos((before) => [...before, photo].slice(0, MOST_PHOTOS)),
    );
  const hand = () =>
    run(
      () => handToCollector({ things, who, paper, agreed }, photos),
      () => go("safe", "replace"),
    );
  return (
    <>
      <Page title="What does the collector take?" above="Safe place">
        <Choices
          label="Collected now"
          options={kept.map(({ code, thing }) => ({
            value: code,
            name: (
              <TwoLines name={thing.name ?? "Device"} detail={`${groupCode(code)}, ${cellWords(code).toLowerCase()}`} />
            ),
          }))}
          values={things}
          onChange={setThings}
        />
        <TextField
          label="Who collects it"
          value={who}
          onInput={setWho}
          maxLength={80}
          hint="The firm, and the person."
        />
        <TextField
          label="Number of the collector's paper"
          value={paper}
          onInput={setPaper}
          maxLength={80}
          hint="The shop's proof of who took a dangerous thing. Without a paper nothing leaves."
        />
        {devices.length > 0 && !isLead() && (
          <Notice tone="warn" title="A customer's device is among them">
            <p>A lead signs on and hands it over.</p>
          </Notice>
        )}
        {devices.map((code) => (
          <TextField
            key={code}
            label={`What the owner agreed to: ${thingName(code)}`}
            value={agreed[code] ?? ""}
            onInput={(text) => setAgreed({ ...agreed, [code]: text })}
            maxLength={300}
            hint="That it is disposed of with all data on it: when, and by which way they said so."
            lines
          />
        ))}
        {photos.length < MOST_PHOTOS && <PhotoButton label="Photo of the paper" onPicture={photograph} />}
        <PhotoStrip photos={photos} what="Collector's paper" />
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={() => go("safe")} tone="aside">
          Back
        </Button>
        <Button onPress={hand} tone="main">
          Collected
        </Button>
      </Dock>
    </>
  );
}

/** As many as `safe.collected` can name (events.json). */
const MOST_PHOTOS = 8;
