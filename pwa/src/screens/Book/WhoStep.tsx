/** The customer: as last time, known by telephone or mail, or new. */
import { newContactRef } from "../../actions/book.ts";
import { knownContact, lastContact } from "../../facts/booking.ts";
import type { ContactCard } from "../../facts/people.ts";
import { Button } from "../../ui/Dock.tsx";
import { TextField } from "../../ui/fields.tsx";
import type { StepProps } from "./step.ts";

type Known = { readonly ref: string; readonly card: ContactCard } | null;

export function WhoStep({ booking, change }: StepProps) {
  const last = lastContact(booking);
  const typed = knownContact(booking.phone, booking.mail);
  const take = ({ ref, card }: NonNullable<Known>) =>
    change({ contactRef: ref, name: card.name ?? "", phone: card.phone ?? "", mail: card.mail ?? "" });
  const isBlank = booking.name + booking.phone + booking.mail === "";
  const isKnown = booking.contactRef === last?.ref || booking.contactRef === typed?.ref;
  return (
    <>
      {isBlank && last !== null && <Offer say="The same customer as last time" known={last} onTake={take} />}
      {!isBlank && typed !== null && booking.contactRef !== typed.ref && (
        <Offer say="The shop knows this number or address" known={typed} onTake={take} />
      )}
      <TextField label="Name" value={booking.name} onInput={(name) => change({ name })} maxLength={120} />
      <TextField
        label="Telephone"
        type="tel"
        inputMode="tel"
        value={booking.phone}
        onInput={(phone) => change({ phone })}
        maxLength={40}
      />
      <TextField
        label="Mail"
        type="email"
        inputMode="email"
        value={booking.mail}
        onInput={(mail) => change({ mail })}
        maxLength={120}
      />
      {booking.phone.trim() === "" && booking.mail.trim() === "" && (
        <p class="soft">Without a telephone number or a mail address the shop cannot tell the customer anything.</p>
      )}
      {isKnown && !isBlank && (
        <Button onPress={() => change({ contactRef: newContactRef(), name: "", phone: "", mail: "" })} tone="plain">
          It is somebody else
        </Button>
      )}
    </>
  );
}

type OfferProps = {
  readonly say: string;
  readonly known: NonNullable<Known>;
  readonly onTake: (known: NonNullable<Known>) => void;
};

function Offer({ say, known, onTake }: OfferProps) {
  return (
    <div class="stack">
      <p>{say}:</p>
      <Button onPress={() => onTake(known)}>{known.card.name ?? "Without a name"}</Button>
    </div>
  );
}
