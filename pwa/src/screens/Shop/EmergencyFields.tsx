/** What the shop writes on its emergency page. What everybody does is on it anyway. */
import { TextField } from "../../ui/fields.tsx";
import type { EmergencyCard } from "../../views/emergency.ts";

const FIELDS: readonly (readonly [keyof EmergencyCard, string, string, number])[] = [
  ["number", "Emergency number", "The fire service's, as it is dialled from here.", 40],
  ["place", "Safe place and meeting place", "Where unsafe batteries lie, and where everybody meets outside.", 200],
  ["container", "Container", "Which one, where it stands, what is beside it.", 200],
  ["who", "Who decides", "Names or duties of those who know what to do.", 200],
  ["text", "Anything else", "As agreed with your fire service. It is shown as you write it.", 600],
];

type Props = { readonly card: EmergencyCard; readonly onChange: (card: EmergencyCard) => void };

export function EmergencyFields({ card, onChange }: Props) {
  return (
    <section class="stack" aria-labelledby="settings-emergency">
      <h2 id="settings-emergency">Emergency page</h2>
      <p>
        One press from every bench and shipping screen. Keeping away, getting out and calling the fire service stand on
        it anyway. <a href="#/emergency">See and print it</a>
      </p>
      {FIELDS.map(([name, label, hint, maxLength]) => (
        <TextField
          key={name}
          label={label}
          value={card[name]}
          onInput={(value) => onChange({ ...card, [name]: value })}
          maxLength={maxLength}
          hint={card[name] === "" ? `Not written yet. ${hint}` : hint}
          lines={name !== "number" && name !== "who"}
        />
      ))}
    </section>
  );
}
