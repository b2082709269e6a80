// Follows a list by its Link headers alone, reading them with http-link-header; prints the ids in order. Arguments: address of the first page, key.
const LinkHeader = require("http-link-header");

(async () => {
  const ids = [];
  for (let address = process.argv[2]; address;) {
    const answer = await fetch(address, { headers: { Authorization: `Bearer ${process.argv[3]}` } });
    ids.push(...(await answer.json()).items.map(item => item.id));
    const next = LinkHeader.parse(answer.headers.get("link") ?? "").rel("next")[0];
    address = next && new URL(next.uri, address).href;
  }
  console.log(JSON.stringify(ids));
})();
