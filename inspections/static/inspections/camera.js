// Makes a photograph small enough for a weak signal. Drawing it anew also leaves behind where it
// was taken, before it ever leaves the phone.

const LONGEST_SIDE = 2048, QUALITY = 0.85;

export async function shrink(file) {
  try {
    const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
    const scale = Math.min(1, LONGEST_SIDE / Math.max(picture.width, picture.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(picture.width * scale);
    canvas.height = Math.round(picture.height * scale);
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    picture.close();
    const drawn = await new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY));
    return drawn ?? file;
  } catch {
    return file; // not a picture that this browser knows: the server says what is wrong with it
  }
}
