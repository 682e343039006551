/* What the cab file has stored: rows of key and value. An expression, for whichever engine runs it. */
() =>
  new Promise((done, failed) => {
    const request = indexedDB.open("forty-paces");
    request.onerror = () => failed(request.error);
    request.onsuccess = () => {
      const database = request.result;
      if (!database.objectStoreNames.contains("kept")) {
        database.close();
        return done([]);
      }
      const rows = database.transaction("kept").objectStore("kept");
      const keys = rows.getAllKeys();
      const values = rows.getAll();
      rows.transaction.oncomplete = () => {
        database.close();
        done(keys.result.map((key, at) => [...key, values.result[at]]));
      };
    };
  })
