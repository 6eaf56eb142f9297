// The map: outlines of the States from this machine, the ground of one page on it; tiles only where an address is set.
"use strict";
document.querySelectorAll("[data-ground-of]").forEach(async (part) => {
  const fetched = async (address) => (await fetch(address)).json();
  const map = L.map(part, { attributionControl: Boolean(part.dataset.tiles), zoomSnap: 0.25, scrollWheelZoom: false });
  if (part.dataset.tiles) L.tileLayer(part.dataset.tiles, { maxZoom: 19, attribution: part.dataset.tilesBy || "" }).addTo(map);
  L.control.scale({ imperial: part.dataset.units === "us", metric: part.dataset.units !== "us" }).addTo(map);
  const [states, ground] = await Promise.all([fetched(part.dataset.states), fetched(part.dataset.groundOf)]);
  if (!part.dataset.tiles) L.geoJSON(states, { interactive: false, style: { color: "#8a7f93", weight: 1, fillColor: "#fbf5e6", fillOpacity: 1 } }).addTo(map);
  const text = (words) => { const one = document.createElement("span"); one.textContent = words; return one; };
  const mark = (feature, spot) => {
    const sign = document.createElement("span");
    sign.className = `spot ${feature.properties.kind}`;
    const icon = L.divIcon({ className: "spot-room", html: sign, iconSize: [18, 18] });
    return L.marker(spot, { icon, alt: feature.properties.told, title: feature.properties.told, keyboard: true });
  };
  const drawn = L.geoJSON(ground, {
    pointToLayer: mark,
    style: { color: "#3a2e4b", weight: 2, dashArray: "6 3", fillColor: "#efb43f", fillOpacity: 0.25 },
    onEachFeature: (feature, layer) => {
      layer.bindPopup(text(feature.properties.told));
      if (feature.geometry.type === "Point") layer.bindTooltip(text(feature.properties.name), { permanent: true, direction: "right", offset: [8, 0] });
    },
  }).addTo(map);
  map.fitBounds(drawn.getBounds().pad(0.3), { maxZoom: 17 });
  // Where names would lie over each other the later one waits until there is room; its mark still tells it.
  const thin = () => {
    const kept = [];
    part.querySelectorAll(".leaflet-tooltip").forEach((name) => {
      const box = name.getBoundingClientRect();
      const free = kept.every((one) => box.right < one.left || one.right < box.left || box.bottom < one.top || one.bottom < box.top);
      name.classList.toggle("waits", !free);
      if (free) kept.push(box);
    });
  };
  map.on("zoomend moveend", thin);
  thin();
  part.dataset.ready = "yes";
});
