/// <reference lib="webworker" />
// The whole app is kept on the station: every file of a version is stored before that version may run,
// and a version runs until a person agrees to the next one (update.ts).

import { cleanupOutdatedCaches, createHandlerBoundToURL, precacheAndRoute } from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";
import { TAKE_OVER } from "./messages";
import { isPicture, picture } from "./pictures";

declare const self: ServiceWorkerGlobalScope;

precacheAndRoute(self.__WB_MANIFEST);
cleanupOutdatedCaches();

// The app is one page with hash routes. Whatever else is opened (a customer's ticket under /T/, the
// interface under /api/) is the server's to answer, and offline nobody answers it in its place.
const appPage = /^\/(?:index\.html)?(?:\?.*)?$/;
registerRoute(new NavigationRoute(createHandlerBoundToURL("/index.html"), { allowlist: [appPage] }));

registerRoute(
  ({ url, sameOrigin }) => sameOrigin && isPicture(url),
  ({ request }) => picture(request),
);

// Without this the page that installed the app would run unguarded until it is loaded again.
// It is safe after a take-over too: the old page goes on with the code it has in memory.
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  if (event.data === TAKE_OVER) void self.skipWaiting();
});
