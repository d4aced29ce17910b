/** The few functions of Node that the runners use; Node's own types are not installed. */
declare module "node:fs" {
  export function readFileSync(path: URL | string, encoding: "utf8"): string;
  export function readdirSync(path: URL): string[];
  export function existsSync(path: URL): boolean;
  export function writeFileSync(path: URL, text: string): void;
}

declare module "node:crypto" {
  type Hash = { update(text: string, encoding: "utf8"): Hash; digest(encoding: "hex"): string };
  export function createHash(name: "sha256"): Hash;
}

declare const process: { readonly env: Readonly<Record<string, string | undefined>> };
