/** Reading an indicator's colour: the photo's pixels, and keeping what was read. It decides nothing. */
import { state } from "../current.ts";
import { type Decoded, decodePhoto } from "../device/pixels.ts";
import type { Event } from "../events/envelope.ts";
import { type Result, refuse } from "../problem.ts";
import { COLOUR_REVISION, type Reading } from "../rules/colour.ts";
import type { Discs } from "../rules/discs.ts";
import { act } from "./act.ts";

export type { Decoded };

/** `photo-away`, `blob-not-image`. */
export const photoPixels = (photo: string): Promise<Result<Decoded>> => decodePhoto(photo);

/** Put a reading on the job's record, with the discs that it was made of. `code-unknown`, `job-closed`, `not-signed-on`. */
export async function keepReading(
  code: string,
  photo: string,
  { indicator, reference }: Discs,
  reading: Reading,
): Promise<Result<readonly Event[]>> {
  const job = state.value.job.get(code);
  if (job?.photos[photo] === undefined) return refuse("code-unknown", code);
  if (job.stage === "handed_over") return refuse("job-closed");
  const { verdict, sure_pm, reason, de00_centi, hue_deg } = reading;
  const body = {
    photo,
    ...indicator,
    reference_x_pm: reference.x_pm,
    reference_y_pm: reference.y_pm,
    reference_r_pm: reference.r_pm,
    verdict,
    sure_pm,
    ...(reason === null ? {} : { reason }),
    ...(de00_centi === null ? {} : { de00_centi }),
    ...(hue_deg === null ? {} : { hue_deg }),
    revision: COLOUR_REVISION,
  };
  return act(() => [{ kind: "indicator.read", job: code, body }]);
}
