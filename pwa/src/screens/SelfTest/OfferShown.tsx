/** The address for the device, as a symbol its camera reads and as text to type. */
import type { Offer } from "../../actions/selfTest.ts";
import type { Problem } from "../../problem.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Notice } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { Shape } from "../../ui/Shape.tsx";

type Props = {
  readonly offer: Offer;
  /** Whether the device has the page. */
  readonly isOpen: boolean;
  /** The server was not reached the last time. */
  readonly lost: Problem | null;
  readonly above: string;
  readonly back: string;
  readonly onAgain: () => void;
};

/** Names by which a machine means itself. */
const OWN_NAMES = ["localhost", "127.0.0.1", "[::1]"];

export function OfferShown({ offer, isOpen, lost, above, back, onAgain }: Props) {
  const address = new URL(offer.url);
  return (
    <>
      <Page title={isOpen ? "The device has the page" : "Scan this with the device"} above={above}>
        <p class="mark">
          <Shape name={lost !== null ? "warn" : isOpen ? "now" : "open"} />
          <span role="status">
            {lost !== null
              ? "No network; it is looked for again"
              : isOpen
                ? "Under way: what it finds comes here by itself"
                : "Waiting for the device"}
          </span>
        </p>
        {/* An image from a data address: drawn by the server as SVG, shown as a picture so that nothing in it can run. */}
        <img
          class="selftest-qr"
          src={`data:image/svg+xml,${encodeURIComponent(offer.qr_svg)}`}
          alt="Symbol of the address"
        />
        <p class="selftest-address">{offer.url}</p>
        <p>
          Works once, until{" "}
          {new Date(offer.expires_at_ms).toLocaleTimeString(undefined, { hour: "2-digit", minute: "2-digit" })}. The
          page shows nothing of the job or the customer. What it finds is a proposal: you confirm it here.
        </p>
        {OWN_NAMES.includes(address.hostname) && (
          <Notice tone="warn" title="Another device cannot reach this address">
            <p>
              This station calls the server {address.hostname}. Open the app by the server's name on the shop's network.
            </p>
          </Notice>
        )}
        <details>
          <summary>If the device warns of the connection</summary>
          <p class="soft">
            It does not know the shop's own certificate, and for one test it need not: go on to the page. Microphone,
            cameras and motion may stay closed to it then, and are tested by hand.
          </p>
        </details>
        <Button onPress={onAgain} tone="plain">
          Show a new address
        </Button>
      </Page>
      <Dock>
        <a class="button" href={back}>
          Back, and test by hand
        </a>
      </Dock>
    </>
  );
}
