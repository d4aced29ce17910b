import { groupCode } from "../words/format.ts";

export function Code({ code }: { readonly code: string }) {
  return <span class="code">{groupCode(code)}</span>;
}
