import type { Plugin } from "vite";
import { defineConfig } from "vitest/config";
import { alias, indexHtml, repository } from "./paths.ts";

/** Tests lie beside pwa/, so their packages are looked up as if they stood in it. */
const packagesOfPwa = (): Plugin => ({
  name: "packages-of-pwa",
  enforce: "pre",
  async resolveId(source, importer) {
    const isBare = /^[@a-z]/.test(source) && !/^@(shared|pwa)\//.test(source);
    if (!isBare || !importer?.startsWith(`${repository}/tests/`)) return null;
    return this.resolve(source, indexHtml, { skipSelf: true });
  },
});

export default defineConfig({
  plugins: [packagesOfPwa()],
  resolve: { alias },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  server: { fs: { allow: [repository] } },
  test: {
    environment: "node",
    dir: repository,
    setupFiles: [`${repository}/tests/pwa/afterTimeout.ts`],
    // The slowest take some seconds of processor; a busy machine fails none of them.
    testTimeout: 30_000,
    hookTimeout: 30_000,
    include: ["tests/pwa/**/*.test.{ts,tsx}", "tests/vectors/**/*.test.{ts,tsx}"],
  },
});
