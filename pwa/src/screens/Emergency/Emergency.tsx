/** A battery burns or is about to: whom to call, where to go, what to do. Needs no network and nobody signed on. */
import safetyTable from "@shared/safety.json";
import { printPage } from "../../actions/print.ts";
import "../../style/emergency.css";
import { isLead, shop } from "../../facts/people.ts";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { emergencyCard } from "../../views/emergency.ts";
import { telAddress } from "../../views/message.ts";

const USUAL = safetyTable.emergency;

export function Emergency() {
  const { place, number, container, who, text } = emergencyCard();
  return (
    <Page title={USUAL.title} above={shop().shop_name ?? ""}>
      <p class="big">{USUAL.when}</p>
      <section class="stack" aria-labelledby="emergency-here">
        <h2 id="emergency-here">Here in this shop</h2>
        {number === "" ? (
          <p class="mark warn emergency-open">
            <Shape name="warn" />
            No number is written yet. Call the fire service by the number that holds where you are.
          </p>
        ) : (
          <a class="button danger main emergency-call" href={telAddress(number)}>
            <span>Call</span>
            <b>{number}</b>
          </a>
        )}
        <dl class="facts emergency-facts">
          <Fact name="Meeting place and safe place" says={place} />
          <Fact name="Container" says={container} />
          <Fact name="Who decides" says={who} />
        </dl>
        {text !== "" && <p class="big emergency-text">{text}</p>}
      </section>
      <section class="stack" aria-labelledby="emergency-usual">
        <h2 id="emergency-usual">What everybody does</h2>
        <ol class="emergency-do">
          {USUAL.do.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ol>
        <p class="big">{USUAL.burn}</p>
        <p class="soft">The fire service and local rules come before this page.</p>
      </section>
      <div class="emergency-aside">
        <button type="button" class="button" onClick={printPage}>
          Print this page
        </button>
        {isLead() && (
          <a class="button plain" href="#/shop/settings">
            Change what the shop wrote
          </a>
        )}
      </div>
    </Page>
  );
}

function Fact({ name, says }: { readonly name: string; readonly says: string }) {
  return (
    <>
      <dt>{name}</dt>
      <dd>
        {says === "" ? <span class="emergency-open">Not written yet: a lead writes it in the settings</span> : says}
      </dd>
    </>
  );
}
