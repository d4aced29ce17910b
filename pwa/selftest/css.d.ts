/** Styles are taken along by the builder; the program knows nothing of them. */
declare module "*.css";
