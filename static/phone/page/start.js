/* Starts the phone's own server once this phone is paired. On plain http, or unpaired, the shop answers everything. */

if (window.isSecureContext && "serviceWorker" in navigator && localStorage.getItem("baybook-device")) {
  navigator.serviceWorker.register("/sw.js", { type: "module", scope: "/", updateViaCache: "none" });
}
