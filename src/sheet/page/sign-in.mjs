// Hands the token over once; the server answers with a cookie that scripts cannot read.
document.querySelector("#sign-in").addEventListener("submit", async (event) => {
  event.preventDefault();
  const refused = document.querySelector("#refused");
  try {
    const answer = await fetch("/sign-in", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ token: document.querySelector("#token").value.trim() }),
    });
    if (answer.ok) location.reload();
    else refused.textContent = answer.status === 401 ? "That is not the token of this desk." : "The server did not take it; try again.";
  } catch {
    refused.textContent = "The server does not answer; try again.";
  }
});
