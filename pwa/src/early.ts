/** Imported first: the browser opens the station's stores while the rest of the script is read. */
import { openEarly } from "./log/db.ts";

openEarly();
