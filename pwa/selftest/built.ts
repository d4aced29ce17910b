/**
 * Builds the self-test page's script and style beside the app: one plain script, since modules need newer browsers,
 * in the syntax of ES2015, the oldest that the builder writes. The server names the two files in the page it serves.
 */
import { build, type Plugin } from "vite";

export const FOLDER = "selftest";

export function selfTestPage(entry: string): Plugin {
  return {
    name: "traymark-selftest-page",
    apply: "build",
    async generateBundle() {
      const built = await build({
        configFile: false,
        logLevel: "warn",
        publicDir: false,
        build: {
          write: false,
          target: "es2015",
          cssTarget: "es2015",
          modulePreload: false,
          lib: { entry, name: "deviceTest", formats: ["iife"], fileName: () => "selftest.js", cssFileName: "selftest" },
        },
      });
      for (const output of Array.isArray(built) ? built : [built]) {
        if (!("output" in output)) throw new Error("the self-test page was not built");
        for (const file of output.output) {
          const source = file.type === "chunk" ? file.code : file.source;
          this.emitFile({ type: "asset", fileName: `${FOLDER}/${file.fileName}`, source });
        }
      }
    },
  };
}
