/** Photos of a job in small; a press opens one in large, with what is drawn on it. */
import "../../../style/photos.css";
import { Shape } from "../../../ui/Shape.tsx";
import { usePhoto } from "./usePhoto.ts";

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
  const { src, isAway, onAway } = usePhoto(hash, "thumb");
  if (src === null) return null;
  return (
    <a class="photo-small" href={`#/photo/${hash}`}>
      {isAway ? (
        <span class="photo-away">
          <Shape name="away" />
          Not on this station
        </span>
      ) : (
        <img src={src} alt={alt} width={192} height={192} loading="lazy" onError={onAway} />
      )}
    </a>
  );
}
