// A new tank's time zone: where nothing better is known, the one this device stands in.
for (const input of document.querySelectorAll("input[data-zone]")) {
  if (input.value === "" || input.value === "UTC") {
    const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
    if (zone) input.value = zone;
  }
}
