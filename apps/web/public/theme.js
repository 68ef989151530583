// Runs before the first paint so that a chosen theme never flashes.
{
  const chosen = localStorage.getItem("heelward.theme");
  if (chosen !== null) document.documentElement.dataset.theme = chosen;
}
