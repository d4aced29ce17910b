/** Shapes that carry a state together with its word: never colour alone. */
export type ShapeName =
  | "open"
  | "now"
  | "done"
  | "stop"
  | "warn"
  | "away"
  | "scan"
  | "list"
  | "box"
  | "more"
  | "bench"
  | "desk"
  | "sent"
  | "kept"
  | "camera";

const PATHS: Readonly<Record<ShapeName, string>> = {
  open: "M12 3.5a8.5 8.5 0 1 0 0 17 8.5 8.5 0 0 0 0-17Zm0 2.6a5.9 5.9 0 1 1 0 11.8 5.9 5.9 0 0 1 0-11.8Z",
  now: "M12 3.5a8.5 8.5 0 1 0 0 17 8.5 8.5 0 0 0 0-17Zm0 2.6v11.8a5.9 5.9 0 0 1 0-11.8Z",
  done: "M4 4h16v16H4Zm6.6 12.7 7.3-7.9-1.9-1.7-5.5 5.9-2.6-2.5-1.8 1.8Z",
  stop: "M8.3 3h7.4L21 8.3v7.4L15.7 21H8.3L3 15.7V8.3Zm-.8 7.4v3.2h9v-3.2Z",
  warn: "M12 3 22 20.5H2Zm-1.3 6.2.4 5.6h1.8l.4-5.6Zm1.3 6.9a1.3 1.3 0 1 0 0 2.6 1.3 1.3 0 0 0 0-2.6Z",
  away: "M4 11h11.2L10.6 6.4l1.9-1.9 7.8 7.8-7.8 7.8-1.9-1.9 4.6-4.6H4Z",
  scan: "M3 3h6v2.6H5.6V9H3Zm12 0h6v6h-2.6V5.6H15ZM3 15h2.6v3.4H9V21H3Zm15.4 0H21v6h-6v-2.6h3.4ZM8 8h3.2v3.2H8Zm4.8 0H16v3.2h-3.2ZM8 12.8h3.2V16H8Zm4.8 0H16V16h-3.2Z",
  list: "M3 5h3v3H3Zm5 .2h13v2.6H8ZM3 10.5h3v3H3Zm5 .2h13v2.6H8ZM3 16h3v3H3Zm5 .2h13v2.6H8Z",
  box: "M3 7.2 12 3l9 4.2v9.6L12 21l-9-4.2Zm2.6 2.4v5.6l5.1 2.4V12Zm12.8 0L13.3 12v5.6l5.1-2.4ZM12 5.8 7.6 7.9 12 9.9l4.4-2Z",
  more: "M4 10.2h3.6v3.6H4Zm6.2 0h3.6v3.6h-3.6Zm6.2 0H20v3.6h-3.6Z",
  bench: "M3 8h18v3h-2v9h-2.6v-4.5H7.6V20H5v-9H3Zm4.6 3v2h8.8v-2ZM8 4h8v2.4H8Z",
  desk: "M4 3h12l4 4v14H4Zm2.6 2.6v12.8h10.8V8.2h-2.6V5.6Zm2 5h6.8v2.2H8.6Zm0 3.8h6.8v2.2H8.6Z",
  sent: "M2.5 12.3 4.3 10.5 8 14.1 15.9 5.6l1.9 1.8L8 17.7Zm9.2 3.2 1.8-1.9.9.9L20.6 7.3l1.9 1.7-8.1 9.1Z",
  camera:
    "M8.5 4.8h7l1.7 2.6H21v12H3v-12h3.8ZM12 8.6a4.6 4.6 0 1 0 0 9.2 4.6 4.6 0 0 0 0-9.2Zm0 2.4a2.2 2.2 0 1 1 0 4.4 2.2 2.2 0 0 1 0-4.4Z",
  kept: "M4.5 12.3 6.3 10.5 10 14.1 17.9 5.6l1.9 1.8L10 17.7Z",
};

export function Shape({ name, size = 24 }: { readonly name: ShapeName; readonly size?: number }) {
  return (
    <svg width={size} height={size} viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path fill="currentColor" fill-rule="evenodd" d={PATHS[name]} />
    </svg>
  );
}
