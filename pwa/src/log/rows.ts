/** What this station keeps, row by row. */

/** An event this station wrote. Kept until a good backup has it: a restored server may ask for it again (F4.4). */
export type OwnEvent = {
  readonly incarnation: string;
  readonly seq: number;
  /** Empty once it was forgotten, and only its hash is here. */
  readonly text: string;
  readonly hash: string;
  /** 1 once it was written again in a later incarnation after a fork. */
  readonly void: 0 | 1;
};

/** Pulled lines, packed: each of `lines` is position TAB flag TAB bytes (F8.2). */
export type Chunk = {
  readonly first: number;
  readonly last: number;
  readonly lines: string;
  readonly codes: readonly string[];
};

/** A record of the fold (F5.1). `folded` in `meta` says by which fold and up to which position. */
export type KeptRecord = { readonly collection: string; readonly key: string; readonly record: unknown };

export type Doc = {
  readonly id: string;
  readonly kind: string;
  readonly rev: number;
  readonly body: unknown;
  /** Of a text that was erased: what it was about. */
  readonly of?: string | null;
  /** Of a document that waits to be sent: the revision that it takes the place of; null for none. */
  readonly base?: number | null;
};
export type KeptPhoto = {
  readonly sha256: string;
  readonly bytes: ArrayBuffer;
  readonly type: string;
  readonly job: string;
  readonly at_ms: number;
};
/** One that the server has confirmed, with its time of doing so. */
export type SentPhoto = KeptPhoto & { readonly sent_ms: number };
export type SavedDraft = { readonly id: string; readonly at_ms: number; readonly value: unknown };
export type ToPrint = {
  readonly id: string;
  readonly kind: string;
  readonly fields: Record<string, string | number>;
  readonly at_ms: number;
};

/** A single value by its name, such as how far the log was pulled. */
export type Named = { readonly name: string; readonly value: unknown };

export type StationRow = {
  readonly station: string;
  readonly name: string;
  readonly role: string;
  readonly shop: string;
  readonly incarnation: string;
  /** Last own seq, its hash, last acknowledged seq, last minted counter. */
  readonly seq: number;
  readonly head: string;
  readonly acked: number;
  readonly counter: number;
};
