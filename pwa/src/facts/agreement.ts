/** What the customer agrees to at booking in (shared/agreement.json), and the shop's own terms. */
import agreementTable from "@shared/agreement.json";
import { docs } from "../current.ts";
import { shop } from "./people.ts";

type Row = { readonly title: string; readonly say: string; readonly with_terms?: string };
const ROWS: Readonly<Record<string, Row>> = agreementTable.consents;

/** Which wording of the agreement this program asks for. */
export const AGREEMENT_VERSION = agreementTable.version;

export const CONSENT_SLUGS: readonly string[] = Object.keys(ROWS);

/** The terms a shop wrote itself; empty where it has none. */
export const shopTerms = (): string => (shop().terms ?? "").trim();

/** The revision of the document that holds them. */
export const termsRevision = (): number => docs.value.get("shop")?.rev ?? 0;

/** The sentences to ask; they mention terms only where the shop has some. */
export const consents = (): readonly { readonly slug: string; readonly title: string; readonly say: string }[] =>
  Object.entries(ROWS).map(([slug, row]) => ({
    slug,
    title: row.title,
    say: shopTerms() !== "" && row.with_terms !== undefined ? row.with_terms : row.say,
  }));

export const consentTitle = (slug: string): string =>
  Object.hasOwn(ROWS, slug) ? (ROWS[slug] as Row).title : slug.replace(/[_-]/g, " ");
