PRAGMA application_id = 1396791601;
PRAGMA user_version = 2;
BEGIN TRANSACTION;
CREATE TABLE answer (
            id INTEGER PRIMARY KEY,
            session INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
            child INTEGER NOT NULL REFERENCES child (id) ON DELETE CASCADE,
            question TEXT NOT NULL,
            step TEXT NOT NULL,
            activity TEXT NOT NULL,
            purpose TEXT NOT NULL,
            way TEXT NOT NULL,
            asked INTEGER NOT NULL,
            form TEXT NOT NULL,
            prompt TEXT NOT NULL,
            attempt INTEGER NOT NULL,
            heard TEXT NOT NULL,
            built TEXT,
            value INTEGER,
            heard_form TEXT NOT NULL,
            verdict TEXT NOT NULL,
            reasons TEXT NOT NULL CHECK (json_valid(reasons)),
            judged_by TEXT NOT NULL CHECK (judged_by IN ('listener', 'parent')),
            override TEXT CHECK (override IN ('right', 'wrong', 'again', 'skip')),
            overridden_at TEXT,
            confidence REAL,
            alternatives TEXT NOT NULL CHECK (json_valid(alternatives)),
            listener TEXT,
            asked_at TEXT NOT NULL,
            voice_after REAL,
            audio_seconds REAL,
            work_seconds REAL,
            judged_at TEXT NOT NULL,
            recording TEXT
        ) STRICT
        ;
INSERT INTO "answer" VALUES(1,1,1,'to-five/say-back:plain/1','to-five','say-back','easy','spoken',1,'any','',1,'',NULL,1,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:05:00.000+00:00',1.8,NULL,NULL,'2026-09-07T16:05:03.000+00:00',NULL);
INSERT INTO "answer" VALUES(2,1,1,'to-five/glimpse/4','to-five','glimpse','easy','spoken',4,'any','',1,'',NULL,4,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:05:09.000+00:00',2.35,NULL,NULL,'2026-09-07T16:05:12.000+00:00',NULL);
INSERT INTO "answer" VALUES(3,1,1,'to-five/build:plain/3','to-five','build','new','digits',3,'digits','',1,'',NULL,3,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:05:18.000+00:00',3.43,NULL,NULL,'2026-09-07T16:05:21.000+00:00',NULL);
INSERT INTO "answer" VALUES(4,1,1,'to-five/which-more/2,1','to-five','which-more','new','choice',2,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:05:27.000+00:00',0.86,NULL,NULL,'2026-09-07T16:05:30.000+00:00',NULL);
INSERT INTO "answer" VALUES(5,1,1,'to-five/glimpse/3','to-five','glimpse','easy','spoken',3,'any','',1,'',NULL,3,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:05:36.000+00:00',1.89,NULL,NULL,'2026-09-07T16:05:39.000+00:00',NULL);
INSERT INTO "answer" VALUES(6,1,1,'to-five/next-door:next/5','to-five','next-door','new','spoken',6,'any','',1,'',NULL,6,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:05:45.000+00:00',4.98,NULL,NULL,'2026-09-07T16:05:48.000+00:00',NULL);
INSERT INTO "answer" VALUES(7,1,1,'to-five/which-more/1,2','to-five','which-more','new','choice',2,'any','',1,'',NULL,2,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:05:54.000+00:00',4.31,NULL,NULL,'2026-09-07T16:05:57.000+00:00',NULL);
INSERT INTO "answer" VALUES(8,1,1,'to-five/which-more/2,1','to-five','which-more','return','choice',2,'any','',1,'',NULL,2,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:06:03.000+00:00',3.48,NULL,NULL,'2026-09-07T16:06:06.000+00:00',NULL);
INSERT INTO "answer" VALUES(9,1,1,'to-five/next-door:before/5','to-five','next-door','new','spoken',4,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:06:12.000+00:00',3.47,NULL,NULL,'2026-09-07T16:06:15.000+00:00',NULL);
INSERT INTO "answer" VALUES(10,1,1,'to-five/glimpse/2','to-five','glimpse','easy','spoken',2,'any','',1,'',NULL,2,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:06:21.000+00:00',3.0,NULL,NULL,'2026-09-07T16:06:24.000+00:00',NULL);
INSERT INTO "answer" VALUES(11,1,1,'to-five/glimpse/1','to-five','glimpse','closing','spoken',1,'any','',1,'',NULL,1,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:06:30.000+00:00',3.62,NULL,NULL,'2026-09-07T16:06:33.000+00:00',NULL);
INSERT INTO "answer" VALUES(12,1,1,'to-five/glimpse/3','to-five','glimpse','closing','spoken',3,'any','',1,'',NULL,3,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:06:39.000+00:00',3.98,NULL,NULL,'2026-09-07T16:06:42.000+00:00',NULL);
INSERT INTO "answer" VALUES(13,1,1,'to-five/glimpse/4','to-five','glimpse','closing','spoken',4,'any','',1,'',NULL,4,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:06:48.000+00:00',2.07,NULL,NULL,'2026-09-07T16:06:51.000+00:00',NULL);
INSERT INTO "answer" VALUES(14,2,2,'five-and-some/which-more/8,9','five-and-some','which-more','easy','choice',9,'any','',1,'',NULL,9,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:06:57.000+00:00',4.44,NULL,NULL,'2026-09-07T16:07:00.000+00:00',NULL);
INSERT INTO "answer" VALUES(15,2,2,'pairs-to-ten/which-more/5,6','pairs-to-ten','which-more','easy','choice',6,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:07:06.000+00:00',3.82,NULL,NULL,'2026-09-07T16:07:09.000+00:00',NULL);
INSERT INTO "answer" VALUES(16,2,2,'to-five/glimpse/3','to-five','glimpse','easy','spoken',3,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:07:15.000+00:00',3.8,NULL,NULL,'2026-09-07T16:07:18.000+00:00',NULL);
INSERT INTO "answer" VALUES(17,2,2,'to-five/which-more/4,3','to-five','which-more','easy','choice',4,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:07:24.000+00:00',2.46,NULL,NULL,'2026-09-07T16:07:27.000+00:00',NULL);
INSERT INTO "answer" VALUES(18,2,2,'five-and-some/next-door:next/9','five-and-some','next-door','easy','spoken',10,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:07:33.000+00:00',2.67,NULL,NULL,'2026-09-07T16:07:36.000+00:00',NULL);
INSERT INTO "answer" VALUES(19,2,2,'five-and-some/which-more/10,1','five-and-some','which-more','finish','choice',10,'any','',1,'',NULL,10,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-07T16:07:42.000+00:00',4.49,NULL,NULL,'2026-09-07T16:07:45.000+00:00',NULL);
INSERT INTO "answer" VALUES(20,3,1,'to-five/glimpse/3','to-five','glimpse','easy','spoken',3,'any','',1,'',NULL,3,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:05:00.000+00:00',1.37,NULL,NULL,'2026-09-08T16:05:03.000+00:00',NULL);
INSERT INTO "answer" VALUES(21,3,1,'to-five/build:plain/4','to-five','build','easy','digits',4,'digits','',1,'',NULL,4,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:05:09.000+00:00',4.86,NULL,NULL,'2026-09-08T16:05:12.000+00:00',NULL);
INSERT INTO "answer" VALUES(22,3,1,'to-five/next-door:next/5','to-five','next-door','due','spoken',6,'any','',1,'',NULL,6,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:05:18.000+00:00',3.43,NULL,NULL,'2026-09-08T16:05:21.000+00:00',NULL);
INSERT INTO "answer" VALUES(23,3,1,'to-five/which-more/1,2','to-five','which-more','new','choice',2,'any','',1,'',NULL,2,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:05:27.000+00:00',2.93,NULL,NULL,'2026-09-08T16:05:30.000+00:00',NULL);
INSERT INTO "answer" VALUES(24,3,1,'to-five/next-door:before/5','to-five','next-door','due','spoken',4,'any','',1,'',NULL,4,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:05:36.000+00:00',2.27,NULL,NULL,'2026-09-08T16:05:39.000+00:00',NULL);
INSERT INTO "answer" VALUES(25,3,1,'to-five/build:plain/4','to-five','build','new','digits',4,'digits','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:05:45.000+00:00',3.25,NULL,NULL,'2026-09-08T16:05:48.000+00:00',NULL);
INSERT INTO "answer" VALUES(26,3,1,'to-five/next-door:next/3','to-five','next-door','easy','spoken',4,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:05:54.000+00:00',3.66,NULL,NULL,'2026-09-08T16:05:57.000+00:00',NULL);
INSERT INTO "answer" VALUES(27,3,1,'to-five/glimpse/1','to-five','glimpse','easy','spoken',1,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:06:03.000+00:00',4.4,NULL,NULL,'2026-09-08T16:06:06.000+00:00',NULL);
INSERT INTO "answer" VALUES(28,3,1,'to-five/build:plain/2','to-five','build','easy','digits',2,'digits','',1,'',NULL,2,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:06:12.000+00:00',3.62,NULL,NULL,'2026-09-08T16:06:15.000+00:00',NULL);
INSERT INTO "answer" VALUES(29,3,1,'to-five/build:plain/4','to-five','build','return','digits',4,'digits','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:06:21.000+00:00',4.41,NULL,NULL,'2026-09-08T16:06:24.000+00:00',NULL);
INSERT INTO "answer" VALUES(30,3,1,'to-five/which-more/2,1','to-five','which-more','closing','choice',2,'any','',1,'',NULL,2,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:06:30.000+00:00',4.6,NULL,NULL,'2026-09-08T16:06:33.000+00:00',NULL);
INSERT INTO "answer" VALUES(31,3,1,'to-five/which-more/6,5','to-five','which-more','closing','choice',6,'any','',1,'',NULL,6,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:06:39.000+00:00',3.8,NULL,NULL,'2026-09-08T16:06:42.000+00:00',NULL);
INSERT INTO "answer" VALUES(32,3,1,'to-five/which-more/4,3','to-five','which-more','closing','choice',4,'any','',1,'',NULL,4,'none','right','[]','parent','skip','2026-09-08T16:08:54.000+00:00',NULL,'[]',NULL,'2026-09-08T16:06:48.000+00:00',4.29,NULL,NULL,'2026-09-08T16:06:51.000+00:00',NULL);
INSERT INTO "answer" VALUES(33,4,2,'five-and-some/glimpse/6','five-and-some','glimpse','easy','spoken',6,'any','',1,'',NULL,6,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:06:57.000+00:00',2.0,NULL,NULL,'2026-09-08T16:07:00.000+00:00',NULL);
INSERT INTO "answer" VALUES(34,4,2,'pairs-to-ten/to-ten/7','pairs-to-ten','to-ten','easy','spoken',3,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:07:06.000+00:00',4.39,NULL,NULL,'2026-09-08T16:07:09.000+00:00',NULL);
INSERT INTO "answer" VALUES(35,4,2,'five-and-some/glimpse/9','five-and-some','glimpse','easy','spoken',9,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:07:15.000+00:00',1.17,NULL,NULL,'2026-09-08T16:07:18.000+00:00',NULL);
INSERT INTO "answer" VALUES(36,4,2,'five-and-some/which-more/7,8','five-and-some','which-more','easy','choice',8,'any','',1,'',NULL,8,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:07:24.000+00:00',2.52,NULL,NULL,'2026-09-08T16:07:27.000+00:00',NULL);
INSERT INTO "answer" VALUES(37,4,2,'teens/other-way:plain/11','teens','other-way','new','spoken',11,'plain','',1,'',NULL,11,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:07:33.000+00:00',2.03,NULL,NULL,'2026-09-08T16:07:36.000+00:00',NULL);
INSERT INTO "answer" VALUES(38,4,2,'pairs-to-ten/to-ten/7','pairs-to-ten','to-ten','return','spoken',3,'any','',1,'',NULL,3,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:07:42.000+00:00',4.47,NULL,NULL,'2026-09-08T16:07:45.000+00:00',NULL);
INSERT INTO "answer" VALUES(39,4,2,'five-and-some/glimpse/9','five-and-some','glimpse','return','spoken',9,'any','',1,'',NULL,9,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:07:51.000+00:00',3.38,NULL,NULL,'2026-09-08T16:07:54.000+00:00',NULL);
INSERT INTO "answer" VALUES(40,4,2,'to-five/glimpse/3','to-five','glimpse','due','spoken',3,'any','',1,'',NULL,3,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:08:00.000+00:00',3.82,NULL,NULL,'2026-09-08T16:08:03.000+00:00',NULL);
INSERT INTO "answer" VALUES(41,4,2,'teens/build:explicit/18','teens','build','new','digits',18,'digits','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:08:09.000+00:00',4.5,NULL,NULL,'2026-09-08T16:08:12.000+00:00',NULL);
INSERT INTO "answer" VALUES(42,4,2,'five-and-some/which-more/6,7','five-and-some','which-more','easy','choice',7,'any','',1,'',NULL,NULL,'none','wrong','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:08:18.000+00:00',2.92,NULL,NULL,'2026-09-08T16:08:21.000+00:00',NULL);
INSERT INTO "answer" VALUES(43,4,2,'teens/other-way:plain/11','teens','other-way','closing','spoken',11,'plain','',1,'',NULL,11,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:08:27.000+00:00',2.1,NULL,NULL,'2026-09-08T16:08:30.000+00:00',NULL);
INSERT INTO "answer" VALUES(44,4,2,'teens/other-way:plain/19','teens','other-way','closing','spoken',19,'plain','',1,'',NULL,19,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:08:36.000+00:00',3.32,NULL,NULL,'2026-09-08T16:08:39.000+00:00',NULL);
INSERT INTO "answer" VALUES(45,4,2,'teens/other-way:plain/13','teens','other-way','closing','spoken',13,'plain','',1,'',NULL,13,'none','right','[]','parent',NULL,NULL,NULL,'[]',NULL,'2026-09-08T16:08:45.000+00:00',1.63,NULL,NULL,'2026-09-08T16:08:48.000+00:00',NULL);
CREATE TABLE child (
            id INTEGER PRIMARY KEY,
            name TEXT NOT NULL CHECK (name <> ''),
            name_key TEXT NOT NULL UNIQUE,
            birth_month TEXT CHECK (birth_month GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]'),
            keep_audio_days INTEGER NOT NULL DEFAULT 0 CHECK (keep_audio_days >= 0),
            created TEXT NOT NULL
        ) STRICT
        ;
INSERT INTO "child" VALUES(1,'Pip','pip','2020-04',0,'2026-09-07T16:00:00.000+00:00');
INSERT INTO "child" VALUES(2,'Wren','wren',NULL,14,'2026-09-07T16:00:00.000+00:00');
INSERT INTO "child" VALUES(3,'Newt','newt',NULL,0,'2026-09-07T16:00:00.000+00:00');
CREATE TABLE learner (
            child INTEGER PRIMARY KEY REFERENCES child (id) ON DELETE CASCADE,
            state TEXT NOT NULL CHECK (json_valid(state)),
            answer INTEGER NOT NULL,
            placement INTEGER NOT NULL
        ) STRICT
        ;
CREATE TABLE placement (
            id INTEGER PRIMARY KEY,
            child INTEGER NOT NULL REFERENCES child (id) ON DELETE CASCADE,
            at TEXT NOT NULL,
            step TEXT NOT NULL,
            number_limit INTEGER,
            pace REAL NOT NULL CHECK (pace > 0),
            skipped TEXT NOT NULL CHECK (json_valid(skipped))
        ) STRICT
        ;
INSERT INTO "placement" VALUES(1,2,'2026-09-07T16:00:00.000+00:00','teens',500,1.5,'["ten-tens"]');
CREATE TABLE session (
            id INTEGER PRIMARY KEY,
            child INTEGER NOT NULL REFERENCES child (id) ON DELETE CASCADE,
            started TEXT NOT NULL,
            ended TEXT,
            source TEXT NOT NULL,
            seed INTEGER
        , aim TEXT, aim_met TEXT) STRICT
        ;
INSERT INTO "session" VALUES(1,1,'2026-09-07T16:05:00.000+00:00','2026-09-07T16:06:57.000+00:00','microphone',0,'to-five/glimpse','met');
INSERT INTO "session" VALUES(2,2,'2026-09-07T16:06:57.000+00:00','2026-09-07T16:07:51.000+00:00','microphone',0,'teens/other-way:plain','not asked');
INSERT INTO "session" VALUES(3,1,'2026-09-08T16:05:00.000+00:00','2026-09-08T16:06:57.000+00:00','microphone',1,'to-five/which-more','met');
INSERT INTO "session" VALUES(4,2,'2026-09-08T16:06:57.000+00:00','2026-09-08T16:08:54.000+00:00','microphone',1,'teens/other-way:plain','met');
CREATE INDEX session_by_child ON session (child, started);
CREATE INDEX answer_by_child ON answer (child, judged_at);
CREATE INDEX answer_by_session ON answer (session);
CREATE INDEX placement_by_child ON placement (child, at);
CREATE INDEX answer_with_recording ON answer (child, judged_at) WHERE recording IS NOT NULL;
COMMIT;
