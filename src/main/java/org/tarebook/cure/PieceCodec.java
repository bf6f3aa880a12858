package org.tarebook.cure;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.zip.Deflater;
import java.util.zip.DeflaterOutputStream;
import java.util.zip.InflaterInputStream;
import org.tarebook.cure.PieceContent.Mark;
import org.tarebook.cure.PieceContent.Samples;

/**
 * Pieces of a log as compressed columns. Inside a zlib stream: a version byte; how many channels;
 * for each its code, count, scale, moments and values; how many marks; for each its step and
 * moment. Whole numbers are variable-length, seven bits a byte, low bits first, signed ones in
 * zigzag. Moments are second differences of microseconds and written once for neighbouring channels
 * that share them; values are first differences of whole numbers of {@code 10^-scale}.
 */
final class PieceCodec {

  private static final int VERSION = 1;
  private static final int OWN_MOMENTS = 0;
  private static final int SAME_MOMENTS = 1;

  private PieceCodec() {}

  static byte[] encode(PieceContent content) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    Deflater deflater = new Deflater(6);
    try (OutputStream out = new DeflaterOutputStream(bytes, deflater, 8192)) {
      out.write(VERSION);
      writeUnsigned(out, content.channels().size());
      long[] before = new long[0];
      for (Map.Entry<String, Samples> channel : content.channels().entrySet()) {
        Samples samples = channel.getValue();
        writeText(out, channel.getKey());
        writeUnsigned(out, samples.count());
        out.write(samples.scale());
        if (Arrays.equals(before, samples.micros())) {
          out.write(SAME_MOMENTS);
        } else {
          out.write(OWN_MOMENTS);
          writeMoments(out, samples.micros());
          before = samples.micros();
        }
        long last = 0;
        for (long number : samples.numbers()) {
          writeSigned(out, number - last);
          last = number;
        }
      }
      writeUnsigned(out, content.marks().size());
      for (Mark mark : content.marks()) {
        writeText(out, mark.step());
        writeSigned(out, mark.micros());
      }
    } catch (IOException impossible) {
      throw new UncheckedIOException(impossible);
    } finally {
      deflater.end();
    }
    return bytes.toByteArray();
  }

  static PieceContent decode(byte[] body) {
    try (InputStream in =
        new ByteArrayInputStream(
            new InflaterInputStream(new ByteArrayInputStream(body)).readAllBytes())) {
      int version = in.read();
      if (version != VERSION) {
        throw new IllegalStateException("A piece of layout " + version + " cannot be read");
      }
      SortedMap<String, Samples> channels = new TreeMap<>();
      long[] moments = new long[0];
      for (long left = readUnsigned(in); left > 0; left--) {
        String code = readText(in);
        int count = (int) readUnsigned(in);
        int scale = in.read();
        if (in.read() == OWN_MOMENTS) {
          moments = readMoments(in, count);
        }
        long[] numbers = new long[count];
        long last = 0;
        for (int i = 0; i < count; i++) {
          last += readSigned(in);
          numbers[i] = last;
        }
        channels.put(code, new Samples(moments, numbers, scale));
      }
      List<Mark> marks = new ArrayList<>();
      for (long left = readUnsigned(in); left > 0; left--) {
        marks.add(new Mark(readText(in), readSigned(in)));
      }
      return new PieceContent(channels, marks);
    } catch (IOException damaged) {
      throw new UncheckedIOException("A stored piece cannot be read", damaged);
    }
  }

  private static void writeMoments(OutputStream out, long[] micros) throws IOException {
    long last = 0;
    long step = 0;
    for (long moment : micros) {
      writeSigned(out, moment - last - step);
      step = moment - last;
      last = moment;
    }
  }

  private static long[] readMoments(InputStream in, int count) throws IOException {
    long[] micros = new long[count];
    long last = 0;
    long step = 0;
    for (int i = 0; i < count; i++) {
      step += readSigned(in);
      last += step;
      micros[i] = last;
    }
    return micros;
  }

  private static void writeText(OutputStream out, String text) throws IOException {
    byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
    writeUnsigned(out, bytes.length);
    out.write(bytes);
  }

  private static String readText(InputStream in) throws IOException {
    return new String(in.readNBytes((int) readUnsigned(in)), StandardCharsets.UTF_8);
  }

  private static void writeSigned(OutputStream out, long number) throws IOException {
    writeUnsigned(out, (number << 1) ^ (number >> 63));
  }

  private static long readSigned(InputStream in) throws IOException {
    long zigzag = readUnsigned(in);
    return (zigzag >>> 1) ^ -(zigzag & 1);
  }

  private static void writeUnsigned(OutputStream out, long number) throws IOException {
    long left = number;
    while ((left & ~0x7FL) != 0) {
      out.write((int) (left & 0x7F) | 0x80);
      left >>>= 7;
    }
    out.write((int) left);
  }

  private static long readUnsigned(InputStream in) throws IOException {
    long number = 0;
    for (int shift = 0; shift < 64; shift += 7) {
      int next = in.read();
      if (next < 0) {
        throw new IOException("ends in the middle of a number");
      }
      number |= (long) (next & 0x7F) << shift;
      if (next < 0x80) {
        return number;
      }
    }
    throw new IOException("holds a number longer than 64 bits");
  }
}
