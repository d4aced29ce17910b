/** The little of Node that the runners use; its own types are not among the packages. */
declare module "node:fs" {
  export function readFileSync(path: URL | string, encoding: "utf8"): string;
  export function readdirSync(path: URL): string[];
}

declare const process: { readonly env: Readonly<Record<string, string | undefined>> };
