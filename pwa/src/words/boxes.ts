/** Purposes and conditions of old parts in words. */
import recordTable from "@shared/record.json";

export const { purpose: PURPOSES } = recordTable.entries;
export type Purpose = keyof typeof PURPOSES;

export const purposeName = (purpose: string | null): string =>
  purpose === null ? "no purpose yet" : (PURPOSES[purpose as Purpose] ?? purpose);

export const CONDITIONS: Readonly<Record<string, string>> = {
  complete: "Complete",
  cracked: "Cracked",
  bent: "Bent",
  burnt: "Burnt",
  incomplete: "Incomplete",
  swollen: "Swollen",
};
