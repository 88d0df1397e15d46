/** The rear camera's moving picture, and its lamp. */

const WANTED = { facingMode: { ideal: "environment" }, width: { ideal: 1920 }, height: { ideal: 1080 } };
/** What a browser's refusal means, as the page's words name it. @type {Record<string, string>} */
const TROUBLES = {
  NotAllowedError: "refused",
  SecurityError: "refused",
  NotFoundError: "none",
  NotReadableError: "busy",
};

/**
 * Open the camera and show it. Throws what the browser does: see `troubleOf`.
 * @param {HTMLVideoElement} video
 * @returns {Promise<MediaStream>}
 */
export async function show(video) {
  const stream = await navigator.mediaDevices.getUserMedia({ audio: false, video: WANTED });
  video.srcObject = stream;
  await video.play().catch(() => undefined); // a picture that does not start is told as black
  return stream;
}

/** Why the camera did not open. @param {unknown} error */
export function troubleOf(error) {
  return TROUBLES[/** @type {Error} */ (error).name] ?? "busy";
}

/** @param {MediaStream} stream */
export function stop(stream) {
  for (const track of stream.getTracks()) track.stop();
}

/** @param {MediaStream} stream */
export function hasTorch(stream) {
  const [track] = stream.getVideoTracks();
  return Boolean(track?.getCapabilities?.().torch);
}

/** @param {MediaStream} stream @param {boolean} on */
export async function setTorch(stream, on) {
  await stream.getVideoTracks()[0].applyConstraints({ advanced: [{ torch: on }] });
}
