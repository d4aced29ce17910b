/** Paper: label pictures on a sheet that only the printer sees, each at its true size. */

/** What is sold as 203 dpi is eight dots per millimetre (common practice, no source; shared/labels.json says the same). */
const dotsPerMm = (dpi: number): number => (dpi === 203 ? 8 : dpi / 25.4);
let sheet: HTMLElement | null = null;
let pages: CSSStyleSheet | null = null;

/** Hand pictures to the browser's print dialog, one per page; a picture's dots are printer dots. False when one is no picture. */
export async function printPictures(pictures: readonly Blob[], dpi: number): Promise<boolean> {
  clear();
  const images = await Promise.all(pictures.map(load)).catch(() => null);
  if (images === null) return false;
  const mm = (dots: number): string => `${(dots / dotsPerMm(dpi)).toFixed(3)}mm`;
  const place = document.createElement("div");
  place.className = "print-sheet";
  const rules = new Map<string, string>();
  for (const image of images) {
    const [width, height] = [mm(image.naturalWidth), mm(image.naturalHeight)];
    const page = `label-${image.naturalWidth}-${image.naturalHeight}`;
    rules.set(page, `@page ${page} { size: ${width} ${height}; margin: 0; }`);
    image.style.width = width;
    image.style.height = height;
    image.style.setProperty("page", page);
    place.append(image);
  }
  // A constructed style sheet is not an inline style, so the content security policy allows it.
  pages = new CSSStyleSheet();
  pages.replaceSync([...rules.values()].join("\n"));
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, pages];
  document.documentElement.classList.add("printing-label");
  document.body.append(place);
  sheet = place;
  addEventListener("afterprint", clear, { once: true });
  print();
  return true;
}

/** Hand the screen itself to the print dialog. */
export const printShown = (): void => print();

/** Hand a file to the person, such as a label to print elsewhere. */
export function saveFile(file: Blob, name: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  // The browser reads the file some time after the press; an hour later it surely has.
  setTimeout(() => URL.revokeObjectURL(link.href), 3_600_000);
}

function clear(): void {
  for (const image of sheet?.querySelectorAll("img") ?? []) URL.revokeObjectURL(image.src);
  sheet?.remove();
  sheet = null;
  document.documentElement.classList.remove("printing-label");
  document.adoptedStyleSheets = document.adoptedStyleSheets.filter((s) => s !== pages);
  pages = null;
}

async function load(picture: Blob): Promise<HTMLImageElement> {
  const image = new Image();
  image.alt = "";
  image.src = URL.createObjectURL(picture);
  await image.decode();
  return image;
}
