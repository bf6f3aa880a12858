package org.tarebook.backup;

import java.io.EOFException;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.DigestInputStream;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.zip.ZipEntry;
import java.util.zip.ZipException;
import java.util.zip.ZipFile;
import org.tarebook.storage.Command.Refused;
import org.tarebook.storage.Sha256;
import tools.jackson.core.JacksonException;
import tools.jackson.databind.json.JsonMapper;

/** A backup that somebody hands over; nothing in it is believed unchecked. */
final class BackupFile implements AutoCloseable {

  private final Path path;
  private final ZipFile zip;
  private final Manifest manifest;

  private BackupFile(Path path, ZipFile zip, Manifest manifest) {
    this.path = path;
    this.zip = zip;
    this.manifest = manifest;
  }

  /** Opens a file and reads its manifest. */
  static BackupFile open(Path path, JsonMapper json) throws IOException {
    if (!Files.isRegularFile(path)) {
      throw new Refused("there is no file " + path + ".");
    }
    ZipFile zip;
    try {
      zip = new ZipFile(path.toFile());
    } catch (ZipException broken) {
      throw new Refused(path + " is cut off, or is no zip: " + broken.getMessage() + ".", broken);
    }
    try {
      return new BackupFile(path, zip, manifest(path, zip, json));
    } catch (IOException | RuntimeException refused) {
      zip.close();
      throw refused;
    }
  }

  private static Manifest manifest(Path path, ZipFile zip, JsonMapper json) throws IOException {
    ZipEntry entry = zip.getEntry(Manifest.ENTRY);
    if (entry == null) {
      throw new Refused(path + " has no " + Manifest.ENTRY + ", so it is no backup.");
    }
    Manifest manifest;
    try (InputStream in = zip.getInputStream(entry)) {
      manifest = json.readValue(in.readAllBytes(), Manifest.class);
    } catch (JacksonException | ZipException unreadable) {
      throw new Refused(
          "the " + Manifest.ENTRY + " of " + path + " is not one that this Tarebook reads.",
          unreadable);
    }
    if (!Manifest.FORMAT.equals(manifest.format())) {
      throw new Refused(
          path
              + " is of the format "
              + manifest.format()
              + "; this Tarebook reads "
              + Manifest.FORMAT
              + ".");
    }
    return manifest;
  }

  Manifest manifest() {
    return manifest;
  }

  /** Reads all of it and compares it with what the manifest says. */
  void check() throws IOException {
    for (Manifest.Content table : manifest.tables()) {
      MessageDigest digest = Sha256.digest();
      try (InputStream in = new DigestInputStream(open(table), digest)) {
        in.transferTo(java.io.OutputStream.nullOutputStream());
      } catch (ZipException | EOFException damaged) {
        throw new Refused(
            table.file() + " of " + path + " is damaged: " + damaged.getMessage() + ".", damaged);
      }
      String found = HexFormat.of().formatHex(digest.digest());
      if (!found.equals(table.sha256())) {
        throw new Refused(
            "%s of %s is not as it was written: its SHA-256 is %s and was %s."
                .formatted(table.file(), path, found, table.sha256()));
      }
    }
    if (!Manifest.digest(manifest.tables()).equals(manifest.digest())) {
      throw new Refused("the " + Manifest.ENTRY + " of " + path + " is not as it was written.");
    }
  }

  /** The rows of a table as CSV, its header among them. */
  InputStream open(Manifest.Content table) throws IOException {
    ZipEntry entry = zip.getEntry(table.file());
    if (entry == null) {
      throw new Refused(path + " lacks " + table.file() + ".");
    }
    return zip.getInputStream(entry);
  }

  @Override
  public void close() throws IOException {
    zip.close();
  }
}
