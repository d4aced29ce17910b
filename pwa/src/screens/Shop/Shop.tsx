/** What a lead decides for the shop. Online only, since it is the server's to keep. */
import "../../style/shop.css";
import { mayLead } from "../../actions/shop.ts";
import { signedOn } from "../../current.ts";
import { hasNobody, shop } from "../../facts/people.ts";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { OnlineOnly } from "../parts/OnlineOnly.tsx";
import { BackupLine } from "./BackupLine.tsx";
import { BadgeShown } from "./BadgeShown.tsx";
import { CatalogueScreen } from "./CatalogueScreen.tsx";
import { FirstLead } from "./FirstLead.tsx";
import { newBadge } from "./newBadge.ts";
import { Settings } from "./Settings.tsx";
import { StaffScreen } from "./StaffScreen.tsx";
import { Stations } from "./Stations.tsx";

const PLACES: readonly (readonly [string, string, string])[] = [
  ["staff", "Staff", "Who works here, and their badges"],
  ["stations", "Stations", "Phones and computers of the shop, and joining new ones"],
  ["settings", "Settings", "Name, phone, currency, warranty, customer page"],
  ["catalogue", "Catalogue", "Models, suppliers, kinds of parts"],
];

export function Shop({ part }: { readonly part: string | null }) {
  if (newBadge.value !== null) return <BadgeShown made={newBadge.value} />;
  if (hasNobody()) return <FirstLead />;
  if (!mayLead()) {
    return (
      <Page title="Shop" above={shop().shop_name ?? ""}>
        <Refusal problem={{ slug: signedOn.value === null ? "not-signed-on" : "lead-only" }} />
      </Page>
    );
  }
  switch (part) {
    case "staff":
      return <StaffScreen />;
    case "stations":
      return <Stations />;
    case "settings":
      return <Settings />;
    case "catalogue":
      return <CatalogueScreen />;
    default:
      return (
        <Page title="Shop" above={shop().shop_name ?? ""}>
          <OnlineOnly />
          <ul class="rows">
            {PLACES.map(([path, name, what]) => (
              <li key={path}>
                <a href={`#/shop/${path}`} class="row-link">
                  <strong>{name}</strong>
                  <span class="soft">{what}</span>
                </a>
              </li>
            ))}
          </ul>
          <BackupLine />
        </Page>
      );
  }
}
