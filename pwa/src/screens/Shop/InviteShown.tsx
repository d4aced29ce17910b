/** A join code, held before the camera of the new station. Works once, and for a short time. */
import type { Invite } from "../../actions/shop.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Page } from "../../ui/Page.tsx";
import { dayTime } from "../../words/format.ts";

export function InviteShown({ made, onDone }: { readonly made: Invite; readonly onDone: () => void }) {
  return (
    <>
      <Page title="Scan this with the new station" above="Join code">
        <p>Open the phone's camera, scan, follow the link. Or type address and code there.</p>
        {/* An image from a data address: drawn by the server as SVG, shown as a picture so that nothing in it can run. */}
        <img
          class="shop-qr"
          src={`data:image/svg+xml,${encodeURIComponent(made.qr_svg)}`}
          alt={`Symbol of the join code ${made.code}`}
        />
        <dl class="facts">
          <dt>Code</dt>
          <dd class="code">{made.code}</dd>
          <dt>Address</dt>
          <dd>{made.url}</dd>
          <dt>Good until</dt>
          <dd>{dayTime(made.expires_at_ms)}, once</dd>
        </dl>
      </Page>
      <Dock>
        <Button onPress={onDone} tone="main">
          Done
        </Button>
      </Dock>
    </>
  );
}
