/** The button: talk to the server now. */
export { syncSoon as syncNow } from "../sync/loop.ts";
