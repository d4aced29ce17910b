/** Places of the shop in words. */

/** Places that are not inside another thing, and how they read. */
export const PLACES = {
  counter: "At the counter",
  shelf: "On the shelf",
  bench: "On the bench",
  shipping: "At the shipping desk",
  safe: "In the safe place",
  customer: "With the customer",
  supplier: "With the supplier",
  recycler: "With the recycler",
  bin: "Thrown away",
  lost: "Lost",
} as const;
export type NamedPlace = keyof typeof PLACES;
