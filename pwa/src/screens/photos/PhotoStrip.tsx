/** Photos of a job, from here or from the server. */
import { photoUrl } from "../../device/photo.ts";
import { useLoaded } from "../../ui/loaded.ts";

export function PhotoStrip({ photos, what }: { readonly photos: readonly string[]; readonly what: string }) {
  if (photos.length === 0) return null;
  return (
    <ul class="photos">
      {photos.map((hash, index) => (
        <li key={hash}>
          <Thumb hash={hash} alt={`${what}, photo ${index + 1} of ${photos.length}`} />
        </li>
      ))}
    </ul>
  );
}

function Thumb({ hash, alt }: { readonly hash: string; readonly alt: string }) {
  const small = useLoaded(() => photoUrl(hash, "thumb"), [hash]);
  const full = useLoaded(() => photoUrl(hash), [hash]);
  if (full === undefined) return null;
  return (
    <a href={full} target="_blank" rel="noreferrer">
      <img src={small} alt={alt} width={192} height={192} loading="lazy" />
    </a>
  );
}
