/** The printed map of a tray: drawn by the server at true size, handed over as a file to print. */
import { saveFile } from "../device/paper.ts";
import { ok, type Result } from "../problem.ts";
import { askBlob, asResult } from "../sync/client.ts";

/** `map-offline` without a network; `not-found` when the server has no such revision. */
export async function saveTrayMap(procedure: string, revision: number): Promise<Result<null>> {
  const answer = await askBlob("POST", "/api/tray-map", { procedure, revision });
  const file = asResult(answer, { slug: "map-offline" });
  if (!file.ok) return file;
  saveFile(file.value, `tray-map-${procedure}-${revision}.pdf`);
  return ok(null);
}
