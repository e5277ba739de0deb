// Drafts outlive the page, the tab and the browser: they are kept in IndexedDB until the service has taken them.

const opened = new Promise((resolve) => {
  try {
    const request = indexedDB.open("golfstats", 1);
    request.onupgradeneeded = () => request.result.createObjectStore("drafts");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => resolve(null);
  } catch {
    resolve(null);
  }
});

async function inStore(mode, act) {
  const database = await opened;
  if (!database) return undefined;
  return new Promise((resolve, reject) => {
    const transaction = database.transaction("drafts", mode);
    const request = act(transaction.objectStore("drafts"));
    if (mode === "readwrite") transaction.commit?.(); // at once: who leaves the page now would take the write along
    transaction.oncomplete = () => resolve(request.result);
    transaction.onerror = () => reject(transaction.error);
  });
}

/** What was kept under this name; undefined where there is nothing. */
export const kept = (name) => inStore("readonly", (store) => store.get(name)).catch(() => undefined);
/** True once it is safe. */
export const keep = async (name, draft) => {
  try {
    return (await inStore("readwrite", (store) => store.put(structuredClone(draft), name))) !== undefined;
  } catch {
    return false;
  }
};
export const forget = (name) => inStore("readwrite", (store) => store.delete(name)).catch(() => undefined);
