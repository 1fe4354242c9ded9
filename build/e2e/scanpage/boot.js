const go = new Go();
WebAssembly.instantiateStreaming(fetch("page.wasm"), go.importObject).then((r) => go.run(r.instance));
