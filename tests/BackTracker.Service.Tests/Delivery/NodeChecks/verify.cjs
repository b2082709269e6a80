// Reads {secret, headers, body} from standard input; prints the event as parsed, or why the delivery was refused.
const { Webhook } = require("standardwebhooks");
const { HTTP } = require("cloudevents");

let text = "";
process.stdin.on("data", part => { text += part; });
process.stdin.on("end", () => {
  const { secret, headers, body } = JSON.parse(text);
  try {
    new Webhook(secret).verify(body, headers);
  } catch (error) {
    console.log(JSON.stringify({ refused: error.message }));
    return;
  }
  const event = HTTP.toEvent({ headers, body });
  event.validate();
  console.log(JSON.stringify({ event }));
});
