/** What every step of the booking gets: what was said so far, and the way to say more. */
import type { Booking } from "../../facts/booking.ts";

export type StepProps = { readonly booking: Booking; readonly change: (patch: Partial<Booking>) => void };
