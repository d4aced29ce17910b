import { preact } from "@preact/preset-vite";
import { defineConfig, loadEnv, type Plugin } from "vite";
import { VitePWA } from "vite-plugin-pwa";
import { alias, repository, selfTestEntry } from "./paths.ts";
import { FOLDER, selfTestPage } from "./selftest/built.ts";

/** What the server answers itself while `npm run dev` serves the app: see "Commands" in DEVELOPERS.md. */
const OF_THE_SERVER = "^/(api|T|S|trust|problems|selftest)(/|\\?|$)";
const DEMO = "http://localhost:8137";

const theme = { ink: "#15302f", paper: "#f5f2ea" };

/** The statuses of problems are for the server alone, and the first screen's file has every problem in it. */
const problemsWithoutStatus = (): Plugin => ({
  name: "problems-without-status",
  enforce: "pre",
  transform: (code, id) =>
    id.endsWith("/shared/problems.json")
      ? JSON.stringify(JSON.parse(code, (name, value) => (name === "status" ? undefined : value)))
      : null,
});

export default defineConfig(({ mode }) => ({
  plugins: [
    preact(),
    problemsWithoutStatus(),
    selfTestPage(selfTestEntry),
    VitePWA({
      strategies: "injectManifest",
      srcDir: "src/sw",
      filename: "sw.ts",
      // src/sw/update.ts registers: a new version waits until a person agrees.
      injectRegister: false,
      injectManifest: {
        // The manifest and its icons are added to the list by the plugin itself.
        globPatterns: ["**/*.{js,css,html,wasm,json,woff2}"],
        // Devices under test load it; stations have no use for it.
        globIgnores: [`${FOLDER}/**`],
        // The bar code reader is the largest file, 1.1 MB.
        maximumFileSizeToCacheInBytes: 4_000_000,
      },
      manifest: {
        name: "Traymark",
        short_name: "Traymark",
        description: "Bench record of a repair shop: every tray, part and test, with or without a network.",
        id: "/",
        start_url: "/",
        scope: "/",
        display: "standalone",
        background_color: theme.paper,
        theme_color: theme.ink,
        icons: [
          { src: "icon.svg", sizes: "any", type: "image/svg+xml", purpose: "any" },
          { src: "icon-192.png", sizes: "192x192", type: "image/png", purpose: "any" },
          { src: "icon-512.png", sizes: "512x512", type: "image/png", purpose: "any" },
          { src: "icon-maskable-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
        ],
      },
    }),
  ],
  resolve: { alias },
  server: {
    // shared/ lies beside pwa/, not below it.
    fs: { allow: [repository] },
    // The server takes changes only from pages of its own address, so it has to see the page's.
    proxy: {
      [OF_THE_SERVER]: {
        target: loadEnv(mode, repository, "TRAYMARK_").TRAYMARK_DEMO ?? DEMO,
        changeOrigin: false,
      },
    },
  },
  build: {
    // The content security policy allows images from data: only where a person made them.
    assetsInlineLimit: 0,
    sourcemap: false,
    // Every browser that runs the app preloads modules by itself.
    modulePreload: { polyfill: false },
    rolldownOptions: {
      output: {
        codeSplitting: {
          groups: [
            // What the first screen needs is one file: one request, packed as a whole.
            { name: "start", tags: ["$initial"] },
            // So is what several screens share. Small modules by themselves were a hundred files to keep.
            { name: "parts", minShareCount: 3, maxModuleSize: 30_000 },
          ],
        },
      },
    },
  },
}));
