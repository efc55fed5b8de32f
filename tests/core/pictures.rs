//! Pictures from outside: whatever they are made of, no panic; whatever is taken keeps its pixels and nothing else.

use lustrum::core::pictures::{MOST_PIXELS, MediaType, Picture, THUMBNAIL_PX};
use proptest::prelude::*;

use crate::support::pictures::{
    as_taken, camera_exif, chunk, jpeg, pixels, png, quarter_red, segment, with_chunks, with_segments,
};

fn code(said: MediaType, bytes: &[u8]) -> &'static str {
    Picture::read(said, bytes).unwrap_err().code
}

/// What another reader finds in a picture's Exif.
fn told(bytes: &[u8]) -> Vec<String> {
    let read = exif::Reader::new().read_from_container(&mut std::io::Cursor::new(bytes));
    read.map(|exif| exif.fields().map(|field| field.tag.to_string()).collect()).unwrap_or_default()
}

#[test]
fn nothing_is_left_but_pixels_and_how_they_are_turned() {
    let plain = jpeg(64, 48);
    let taken = as_taken(&plain, 6);
    let before = told(&taken);
    for tag in ["GPSLatitude", "BodySerialNumber", "Make", "Orientation"] {
        assert!(before.iter().any(|found| found == tag), "{tag} is not in {before:?}");
    }
    let kept = Picture::read(MediaType::Jpeg, &taken).unwrap();
    assert_eq!(told(&kept.bytes), ["Orientation"]);
    assert_eq!(pixels(&kept.bytes), pixels(&taken));
    for secret in [b"38.7".as_slice(), b"SN-4170", b"xmpmeta", b"ftyp"] {
        assert!(
            !kept.bytes.windows(secret.len()).any(|window| window == secret),
            "{secret:?} is still there"
        );
    }
    assert_eq!((kept.width_px, kept.height_px), (48, 64));

    let taken = with_chunks(
        &png(64, 48),
        &[
            chunk(b"eXIf", &camera_exif(3)),
            chunk(b"tEXt", b"Serial\0SN-4170"),
            chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0<x/>"),
        ],
    );
    let taken = [taken, b"38.7 N".to_vec()].concat();
    assert!(told(&taken).iter().any(|found| found == "GPSLatitude"));
    let kept = Picture::read(MediaType::Png, &taken).unwrap();
    assert_eq!(told(&kept.bytes), ["Orientation"]);
    assert_eq!(pixels(&kept.bytes), pixels(&png(64, 48)));
    assert!(!kept.bytes.windows(4).any(|window| matches!(window, b"tEXt" | b"iTXt" | b"38.7")));
    assert_eq!((kept.width_px, kept.height_px), (64, 48));

    // What was stripped once is as it is to be: the same bytes again.
    assert_eq!(Picture::read(MediaType::Png, &kept.bytes).unwrap(), kept);
    assert_eq!(
        Picture::read(MediaType::Jpeg, &plain).unwrap().bytes,
        plain,
        "there was nothing to take away"
    );
}

/// Where the red quarter lies in a thumbnail: whether right, whether below.
fn red_at(picture: &Picture) -> (bool, bool) {
    let small = pixels(&picture.thumbnail).to_rgb8();
    let red = |x: u32, y: u32| small.get_pixel(x, y)[0] > 160 && small.get_pixel(x, y)[1] < 90;
    let (w, h) = small.dimensions();
    let found: Vec<(bool, bool)> = [(false, false), (true, false), (false, true), (true, true)]
        .into_iter()
        .filter(|(right, below)| {
            red(if *right { w - 1 - w / 4 } else { w / 4 }, if *below { h - 1 - h / 4 } else { h / 4 })
        })
        .collect();
    assert_eq!(found.len(), 1, "{found:?}");
    found[0]
}

/// TIFF 6.0, Orientation: where row 0 and column 0 of what is stored are to be seen.
#[test]
fn thumbnails_are_upright() {
    let wanted = [
        (1, (false, false)),
        (2, (true, false)),
        (3, (true, true)),
        (4, (false, true)),
        (5, (false, false)),
        (6, (true, false)),
        (7, (true, true)),
        (8, (false, true)),
    ];
    for (orientation, corner) in wanted {
        let kept = Picture::read(MediaType::Jpeg, &as_taken(&jpeg(80, 60), orientation)).unwrap();
        assert_eq!(red_at(&kept), corner, "orientation {orientation}");
        let turned = orientation >= 5;
        assert_eq!((kept.width_px, kept.height_px), if turned { (60, 80) } else { (80, 60) });
        let again = Picture::read(MediaType::Jpeg, &kept.bytes).unwrap();
        assert_eq!(again, kept, "orientation {orientation} stays");
    }
    let large =
        Picture::read(MediaType::Png, &with_chunks(&png(1200, 800), &[chunk(b"eXIf", &camera_exif(8))]))
            .unwrap();
    let small = pixels(&large.thumbnail);
    assert_eq!((small.width(), small.height()), (THUMBNAIL_PX * 2 / 3, THUMBNAIL_PX));
    assert_eq!(red_at(&large), (false, true));
    // Orientations that there are not say nothing.
    for nonsense in [0, 9] {
        let kept = Picture::read(MediaType::Jpeg, &as_taken(&jpeg(80, 60), nonsense)).unwrap();
        assert_eq!((red_at(&kept), told(&kept.bytes)), ((false, false), Vec::new()));
    }
}

#[test]
fn what_shows_through_is_white() {
    let clear = image::RgbaImage::from_pixel(8, 8, image::Rgba([200, 0, 0, 0]));
    let mut bytes = std::io::Cursor::new(Vec::new());
    clear.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
    let kept = Picture::read(MediaType::Png, &bytes.into_inner()).unwrap();
    assert!(
        pixels(&kept.thumbnail).to_rgb8().pixels().all(|pixel| pixel.0.iter().all(|channel| *channel > 250))
    );
}

#[test]
fn what_cannot_be_kept_is_named() {
    use MediaType::{Jpeg, Png};
    assert_eq!(code(Jpeg, &png(8, 8)), "wrong_type");
    assert_eq!(code(Png, &jpeg(8, 8)), "wrong_type");
    for brand in ["heic", "heix", "mif1"] {
        let heic = [b"\0\0\0\x18ftyp", brand.as_bytes(), b"\0\0\0\0mif1heic"].concat();
        assert_eq!((code(Jpeg, &heic), code(Png, &heic)), ("heic", "heic"));
    }
    for nothing in [b"".as_slice(), b"\xff", b"GIF89a\x01\0", b"<svg xmlns='http://www.w3.org/2000/svg'/>"] {
        assert_eq!((code(Jpeg, nothing), code(Png, nothing)), ("not_a_picture", "not_a_picture"));
    }
    for (said, whole) in [(Jpeg, jpeg(40, 30)), (Png, png(40, 30))] {
        for cut in [whole.len() / 2, whole.len() - 1, 12] {
            assert_eq!(code(said, &whole[..cut]), "truncated", "{said} cut at {cut}");
        }
    }
    // A header that promises more than there is: refused before anything is decoded.
    let ihdr = |w: u32, h: u32| [w.to_be_bytes().as_slice(), &h.to_be_bytes(), &[8, 2, 0, 0, 0]].concat();
    let small = png(4, 4);
    let bomb = [&small[..8], chunk(b"IHDR", &ihdr(60_000, 60_000)).as_slice(), &small[33..]].concat();
    assert_eq!(code(Png, &bomb), "too_many_pixels");
    let flat = [&small[..8], chunk(b"IHDR", &ihdr(0, 4)).as_slice(), &small[33..]].concat();
    assert_eq!(code(Png, &flat), "not_a_picture");
    let mut bomb = jpeg(8, 8);
    let frame = bomb.windows(2).position(|pair| pair == [0xff, 0xc0]).unwrap();
    bomb[frame + 5..frame + 9].copy_from_slice(&[0xff; 4]);
    assert_eq!(code(Jpeg, &bomb), "too_many_pixels");
    // Of sixteen bits a channel fewer pixels are taken.
    let side = u32::try_from(MOST_PIXELS.isqrt()).unwrap();
    let deep = [side.to_be_bytes().as_slice(), &side.to_be_bytes(), &[16, 6, 0, 0, 0]].concat();
    let bomb = [&small[..8], chunk(b"IHDR", &deep).as_slice(), &small[33..]].concat();
    assert_eq!(code(Png, &bomb), "too_many_pixels");
    // A wrong checksum, and pixels that are not there.
    let mut wrong = png(40, 30);
    let middle = wrong.len() / 2;
    wrong[middle] ^= 1;
    assert_eq!(code(Png, &wrong), "not_a_picture");
    let few = [&small[..8], chunk(b"IHDR", &ihdr(400, 400)).as_slice(), &small[33..]].concat();
    assert_eq!(code(Png, &few), "not_a_picture");
}

/// Segments that cameras and programs write, and any other that says nothing of the pixels.
fn segments() -> impl Strategy<Value = Vec<Vec<u8>>> {
    let marker = prop_oneof![Just(0xe1_u8), Just(0xfe), 0xe1..=0xed_u8, Just(0xef)];
    let content = prop_oneof![
        proptest::collection::vec(any::<u8>(), 0..300),
        proptest::collection::vec(any::<u8>(), 0..60)
            .prop_map(|rest| [b"Exif\0\0".as_slice(), &rest].concat()),
        (0..12_u16).prop_map(|orientation| [b"Exif\0\0".as_slice(), &camera_exif(orientation)].concat()),
    ];
    proptest::collection::vec((marker, content).prop_map(|(marker, content)| segment(marker, &content)), 0..5)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn a_jpeg_loses_no_pixel(w in 1..70_u32, h in 1..70_u32, segments in segments(), behind in any::<Vec<u8>>()) {
        let taken = [with_segments(&jpeg(w, h), &segments), behind].concat();
        let kept = Picture::read(MediaType::Jpeg, &taken).unwrap();
        prop_assert_eq!(pixels(&kept.bytes), pixels(&taken));
        prop_assert!(kept.bytes.len() <= jpeg(w, h).len() + 36);
    }

    #[test]
    fn a_png_loses_no_pixel(w in 1..70_u32, h in 1..70_u32, grey in any::<bool>(), deep in any::<bool>(),
                            kind in "[a-z][a-z][A-Z][a-z]", content in proptest::collection::vec(any::<u8>(), 0..300)) {
        let whole = image::DynamicImage::from(quarter_red(w, h));
        let whole = match (grey, deep) {
            (false, false) => whole,
            (true, false) => whole.to_luma_alpha8().into(),
            (false, true) => whole.to_rgba16().into(),
            (true, true) => whole.to_luma16().into(),
        };
        let mut bytes = std::io::Cursor::new(Vec::new());
        whole.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
        let bytes = bytes.into_inner();
        let taken = with_chunks(&bytes, &[chunk(kind.as_bytes().try_into().unwrap(), &content)]);
        let kept = Picture::read(MediaType::Png, &taken).unwrap();
        prop_assert_eq!(pixels(&kept.bytes), whole);
        prop_assert!(kept.bytes.len() <= bytes.len() + 38);
    }

    #[test]
    fn no_bytes_bring_it_down(mut bytes in prop_oneof![
            Just(jpeg(20, 12)), Just(as_taken(&jpeg(9, 7), 6)), Just(png(20, 12)),
            Just(with_chunks(&png(9, 7), &[chunk(b"eXIf", &camera_exif(6))])),
            proptest::collection::vec(any::<u8>(), 0..400)],
        changes in proptest::collection::vec((any::<proptest::sample::Index>(), any::<u8>()), 0..6),
        cut in any::<Option<proptest::sample::Index>>(), png_said in any::<bool>()) {
        for (at, byte) in changes.iter().filter(|_| !bytes.is_empty()).collect::<Vec<_>>() {
            let at = at.index(bytes.len());
            bytes[at] = *byte;
        }
        if let Some(cut) = cut.filter(|_| !bytes.is_empty()) {
            bytes.truncate(cut.index(bytes.len()));
        }
        let said = if png_said { MediaType::Png } else { MediaType::Jpeg };
        match Picture::read(said, &bytes) {
            Ok(kept) => {
                let again = Picture::read(said, &kept.bytes);
                prop_assert!(again.is_ok_and(|again| again == kept), "what is kept can be read, and stays as it is");
            }
            Err(fault) => prop_assert!(!fault.detail.is_empty() && fault.pointer.is_empty()),
        }
    }
}
