// Serves a general-purpose database over HTTP, kept in memory, and a bare page of the same origin that can reach it.
//
//   node peer_server.mjs FOLDER PORT    (FOLDER has the packages, PORT is one of localhost)

import { createRequire } from "node:module";
import { join } from "node:path";

const [folder, port] = process.argv.slice(2);
const require = createRequire(join(folder, "package.json"));
const express = require("express");
const Memory = require("pouchdb").plugin(require("pouchdb-adapter-memory")).defaults({ adapter: "memory" });

const app = express();
app.get("/", (_, answer) => answer.type("html").send('<!doctype html><title>.</title><script src="/peer.js"></script>'));
app.get("/peer.js", (_, answer) => answer.sendFile(require.resolve("pouchdb/dist/pouchdb.min.js")));
app.use("/db", require("express-pouchdb")(Memory, { mode: "minimumForPouchDB", inMemoryConfig: true }));
app.listen(Number(port), "localhost", () => console.log("listening"));
