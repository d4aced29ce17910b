/** The two marks: saved here, on the server. Always in words. */
import { reach, syncProblem, unsentDocs, unsentEvents, unsentPhotos } from "../sync/status.ts";
import { Shape } from "./Shape.tsx";

export function SyncMark() {
  const waiting = unsentEvents.value + unsentDocs.value + unsentPhotos.value;
  const offline = reach.value === "offline" || reach.value === "unknown";
  if (syncProblem.value !== null)
    return <Mark shape="warn" tone="warn" text={`Server refuses, ${waiting} kept here`} />;
  if (waiting > 0) return <Mark shape="kept" tone="now" text={`Saved here, ${waiting} to send`} />;
  return offline ? (
    <Mark shape="kept" tone="" text="No network" />
  ) : (
    <Mark shape="sent" tone="good" text="On the server" />
  );
}

function Mark({
  shape,
  tone,
  text,
}: {
  readonly shape: "warn" | "kept" | "sent";
  readonly tone: string;
  readonly text: string;
}) {
  return (
    <a class={`mark ${tone} small sync-mark`} href="#/sync">
      <Shape name={shape} size={22} />
      <span>{text}</span>
    </a>
  );
}
