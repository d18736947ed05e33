// Runs the library away from the page, so that nothing it computes holds the page up.
importScripts("wasm_exec.js");

self.ready = () => postMessage({ ready: true });

onmessage = ({ data: { id, message } }) => {
  const begin = performance.now();
  const answer = self.chelation(message);
  postMessage({ id, answer, milliseconds: performance.now() - begin });
};

(async () => {
  const go = new Go();
  const packed = await fetch("library.bin");
  if (!packed.ok) throw new Error(`library.bin: ${packed.status}`);
  const library = new Response(packed.body.pipeThrough(new DecompressionStream("gzip")), { headers: { "Content-Type": "application/wasm" } });
  const { instance } = await WebAssembly.instantiateStreaming(library, go.importObject);
  await go.run(instance);
  throw new Error("the library stopped");
})().catch((error) => postMessage({ failed: String(error) }));
