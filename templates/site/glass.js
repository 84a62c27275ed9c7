// Cloth under glass: pan, zoom, and the yarn under the finger.
