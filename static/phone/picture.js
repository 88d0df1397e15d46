/**
 * The picture of a photo as it lies in the phone's storage: in bytes, since one engine takes no Blob there in a private
 * window. An older version of the app kept a Blob.
 * @param {{media: string, bytes?: ArrayBuffer, blob?: Blob}} photo
 * @returns {Blob}
 */
export function pictureOf({ media, bytes, blob }) {
  return blob ?? new Blob([/** @type {ArrayBuffer} */ (bytes)], { type: media });
}
