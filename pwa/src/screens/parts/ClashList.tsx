/** Ways to a clash from other screens: always the same words and shape. */
import { clashes, placeOfCode } from "../../facts/things.ts";
import { Notice } from "../../ui/Notice.tsx";
import { Shape } from "../../ui/Shape.tsx";
import { thingName } from "../../views/history.ts";
import { eitherPlace } from "../../views/trace.ts";
import { groupCode } from "../../words/format.ts";

/** Everything whose records disagree; nothing when all agree. */
export function ClashList() {
  const all = clashes();
  if (all.length === 0) return null;
  return (
    <Notice tone="warn" title={all.length === 1 ? "One place is not certain" : `${all.length} places are not certain`}>
      <ul class="rows">
        {all.map((code) => (
          <li key={code} class="with-button">
            <span>{thingName(code)}</span>
            <ClashLink code={code} />
          </li>
        ))}
      </ul>
    </Notice>
  );
}

export function ClashLink({ code }: { readonly code: string }) {
  return (
    <a class="button" href={`#/clash/${code}`}>
      <Shape name="warn" size={22} />
      Settle<span class="unseen"> where {groupCode(code)} is</span>
    </a>
  );
}

/** For a screen about one thing: what disagrees, and the way to settle it. Nothing when its place is certain. */
export function ClashNotice({ code }: { readonly code: string }) {
  const place = placeOfCode(code);
  if (place.kind !== "clash") return null;
  return (
    <Notice tone="warn" title="Two records disagree about where this is">
      <p>It is {eitherPlace(place.places)}.</p>
      <p>Look where it really is, then settle it.</p>
      <ClashLink code={code} />
    </Notice>
  );
}
