/** Telling the customer: the text is there, the person sends it by their own messenger, mail or voice, and says so. */
import { useState } from "preact/hooks";
import { type Channel, shareText, tellCustomer } from "../../actions/tell.ts";
import { contactCard, shop } from "../../facts/people.ts";
import type { Job } from "../../fold/state.ts";
import { isCellUnsafe } from "../../rules/cell.ts";
import { type Telling, wasTold } from "../../rules/telling.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Choice, TextField } from "../../ui/fields.tsx";
import { Notice, Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { mailAddress, message, smsAddress, telAddress } from "../../views/message.ts";
import { dayTime, groupCode } from "../../words/format.ts";
import { stopName } from "../../words/told.ts";
import { choicesOf } from "../../words/values.ts";
import { useHeadingFocus } from "../parts/headingFocus.ts";
import { UnsafeNotice } from "../parts/UnsafeNotice.tsx";
import { go } from "../route.ts";

type Props = { readonly code: string; readonly job: Job; readonly what: string | null };

const TITLES: Readonly<Record<Telling["kind"], string>> = {
  stop: "Tell why it stopped",
  ready: "Tell that it is ready",
  returned: "Tell to pick it up, not repaired",
  promise: "Tell the new time",
  price: "Call about the price",
  news: "Tell how it stands",
};

export function Tell({ code, job, what }: Props) {
  const telling = tellingOf(job, what);
  const card = contactCard(job.contact);
  const words = {
    name: card?.name ?? "",
    shop: shop().shop_name ?? "",
    phone: shop().phone ?? "",
    ticket: groupCode(code),
    promised: job.promised_at_ms === null ? "" : dayTime(job.promised_at_ms),
  };
  const [text, setText] = useState(() => message(job, telling, words));
  const [channel, setChannel] = useState<Channel | null>(null);
  const { problem, run } = useAct();
  useHeadingFocus(telling.kind);
  const log = async (): Promise<void> => {
    if (channel === null) return;
    if (await run(() => tellCustomer(code, channel, telling))) go(`job/${code}`, "replace");
  };
  const share = async (): Promise<void> => {
    if (await shareText(text)) setChannel("message");
  };
  return (
    <>
      <Page title={TITLES[telling.kind]} above={`${job.model}, job ${groupCode(code)}`}>
        {telling.kind === "stop" && <p class="big">{stopName(telling.reason)}</p>}
        {isCellUnsafe(job) && <UnsafeNotice paths={["battery"]} />}
        {wasTold(job, telling) && telling.kind !== "news" && (
          <Notice tone="good" title="The customer was told this already" />
        )}
        <div class="job-message">
          <TextField
            label="Text"
            value={text}
            onInput={setText}
            hint="Change it as you like. The text itself is not kept."
            lines
            maxLength={2000}
          />
        </div>
        <div class="ways">
          {card?.phone && (
            <a class="button" href={smsAddress(card.phone, text)} onClick={() => setChannel("message")}>
              Message to {card.phone}
            </a>
          )}
          {card?.mail && (
            <a
              class="button"
              href={mailAddress(card.mail, `Your ${job.model ?? "device"}, ticket ${groupCode(code)}`, text)}
              onClick={() => setChannel("mail")}
            >
              Mail to {card.mail}
            </a>
          )}
          {card?.phone && (
            <a class="button" href={telAddress(card.phone)} onClick={() => setChannel("call")}>
              Call {card.phone}
            </a>
          )}
          <Button onPress={share}>Share or copy the text</Button>
        </div>
        {!card?.phone && !card?.mail && (
          <p class="soft">There is no telephone number and no mail address. Tell the customer in person.</p>
        )}
        <Choice
          label="How was the customer told?"
          options={choicesOf("channel")}
          value={channel}
          onChoose={setChannel}
          across
        />
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={() => go(`job/${code}`, "replace")} tone="aside">
          Not yet
        </Button>
        <Button onPress={log} tone="main" disabled={channel === null}>
          {channel === null ? "First say how" : "The customer was told"}
        </Button>
      </Dock>
    </>
  );
}

/** What the address says, as far as it fits the job. */
function tellingOf(job: Job, what: string | null): Telling {
  if (what === "stop" && job.stop !== null) return { kind: "stop", reason: job.stop.reason };
  if (what === "ready" || what === "returned" || what === "promise" || what === "price") return { kind: what };
  return { kind: "news" };
}
