/* Takes this edition off every tablet that comes by: put it on the host in the place of sw.js.
   Open pages stay as they are; the next one comes from the host. */
"use strict";

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil((async () => {
  await caches.delete("kbgen " + registration.scope);
  await registration.unregister();
})()));
