/** Purposes and conditions of old parts in words. */

export const PURPOSES = {
  credit: "Core credit",
  doa: "DOA return",
  recycling: "Recycling",
  battery: "Hazardous battery",
} as const;
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
