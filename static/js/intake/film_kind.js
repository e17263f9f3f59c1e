// @ts-check
/**
 * What a file is, by its first bytes; the same rules as portal/intake/film_kind.py, so that a photo is refused before
 * it travels. ISO/IEC 14496-12 (boxes), RFC 8794 (EBML), ISO/IEC 23008-12 (picture brands).
 */

export const HEAD = 64;
const FIRST_BOXES = new Set(["ftyp", "moov", "mdat", "wide", "free", "skip", "pnot"]);
const PHOTO_BRANDS = new Set(["heic", "heix", "heim", "heis", "mif1", "avif"]);
const PHOTO_MARKS = ["\xff\xd8\xff", "\x89PNG\r\n\x1a\n", "GIF8"];

/**
 * @param {Uint8Array} head the first bytes of the file, at least 12
 * @returns {"film" | "photo" | "other"}
 */
export function kindOf(head) {
  const text = String.fromCharCode(...head.subarray(0, HEAD));
  if (PHOTO_MARKS.some((mark) => text.startsWith(mark))) return "photo";
  if (text.slice(4, 8) === "ftyp") return PHOTO_BRANDS.has(text.slice(8, 12)) ? "photo" : "film";
  if (text.startsWith("\x1a\x45\xdf\xa3")) return "film";
  return text.length >= 12 && FIRST_BOXES.has(text.slice(4, 8)) ? "film" : "other";
}
