// What a page costs on the wire: bytes of everything that it asks for, as they arrive, heads included.

export async function weighed(page) {
  const wire = await page.context().newCDPSession(page);
  await wire.send("Network.enable");
  const asked = new Map();
  const weights = {};
  wire.on("Network.requestWillBeSent", ({ requestId, request }) => asked.set(requestId, request.url));
  wire.on("Network.loadingFinished", ({ requestId, encodedDataLength }) => {
    const { pathname } = new URL(asked.get(requestId));
    weights[pathname] = (weights[pathname] ?? 0) + encodedDataLength;
  });
  return { wire, weights, sum: () => Object.values(weights).reduce((sum, bytes) => sum + bytes, 0) };
}
