// One connection for all open pages: told of each save, it asks what that means for each.
"use strict";
const pages = new Map();
const told = async (port, page) => {
  try {
    const answer = await fetch("/_proof/beside.json?page=" + encodeURIComponent(page));
    port.postMessage(await answer.json());
  } catch {
    port.postMessage({ lost: true });
  }
};
const source = new EventSource("/_proof/events");
source.onmessage = () => pages.forEach((page, port) => told(port, page));
source.onerror = () => pages.forEach((page, port) => port.postMessage({ lost: true }));
self.onconnect = ({ ports: [port] }) => {
  port.onmessage = ({ data }) => {
    if (data.gone) pages.delete(port);
    else {
      pages.set(port, data.page);
      told(port, data.page);
    }
  };
};
