/** Where an entry stands: on this station only, or on the server. */
import { Shape } from "../../ui/Shape.tsx";

export function SavedMark({ mark }: { readonly mark: "kept" | "sent" }) {
  return (
    <span class={`mark small ${mark === "sent" ? "good" : "now"}`}>
      <Shape name={mark} size={20} />
      {mark === "sent" ? "On the server" : "Saved here"}
    </span>
  );
}
