// Where the parts that both build configurations name lie on disk.

const onDisk = (relative: string): string =>
  decodeURIComponent(new URL(relative, import.meta.url).pathname).replace(/^\/(?=[A-Za-z]:)/, "");

export const repository = onDisk("..").replace(/\/$/, "");
export const indexHtml = onDisk("./index.html");
export const selfTestEntry = onDisk("./selftest/main.ts");

/** The same two prefixes stand in tsconfig.json. */
export const alias = { "@shared": onDisk("../shared"), "@pwa": onDisk("./src") };
