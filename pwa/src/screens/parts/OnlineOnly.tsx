/** Says beforehand what the server would refuse: no network, or a station that is not a lead's. */
import { station } from "../../current.ts";
import { reach } from "../../sync/status.ts";
import { Notice } from "../../ui/Notice.tsx";

export function OnlineOnly() {
  if (reach.value === "offline") {
    return (
      <Notice tone="warn" title="No network">
        <p>The shop is changed on the server only. You can look, but not save, until the network is back.</p>
      </Notice>
    );
  }
  if (station.value !== null && station.value.role !== "lead") {
    return (
      <Notice tone="warn" title="This is not a lead's station">
        <p>
          The server takes changes to the shop from a lead's station only. Do it there, or join this browser again as
          one.
        </p>
      </Notice>
    );
  }
  return null;
}
