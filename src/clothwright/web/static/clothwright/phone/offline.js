// Keeps the page and its parts on the phone, where the browser allows it: only over https, or on the machine itself.

import { t } from "./words.js";

export const keepForOffline = async (places, says) => {
  if (!("serviceWorker" in navigator) || !window.isSecureContext) {
    says.textContent = t("This address is plain http: while this page stays open it works without a network, but it cannot be opened again without one. Use serve --phone, or take the saved page along.");
    return;
  }
  try {
    await navigator.serviceWorker.register(places.worker);
    const ready = await navigator.serviceWorker.ready;
    const channel = new MessageChannel();
    const kept = new Promise((resolve) => { channel.port1.onmessage = (event) => resolve(event.data); });
    ready.active.postMessage({ keep: location.pathname }, [channel.port2]);
    const done = await kept;
    says.textContent = done ? t("This page is kept on this phone: it opens without a network.") : t("This page could not be kept for when there is no network; reload it while the program answers.");
    says.dataset.kept = String(done);
    if (navigator.storage && navigator.storage.persist) await navigator.storage.persist();
  } catch {
    says.textContent = t("The browser does not trust this address, so it cannot keep the page for when there is no network. The page “Phones” says how to trust it.");
  }
};
